// Package sun finds the sun over a skyline and the energy it leaves on a panel.
package sun
