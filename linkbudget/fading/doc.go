// Package fading holds how a level scatters in time while nothing on the map changes, and
// what that makes of deliveries: a direct wave with scattered ones (Rice), scattered waves
// alone (Rayleigh). Parsons, "The Mobile Radio Propagation Channel", ch. 5.
//
// The doubt of a prediction from place to place is another thing: it stands in package
// linkbudget, and the two are never added.
package fading
