// Package lora describes a LoRa radio: its modem, packets and their time on air, what it
// needs at its input, what it loses, and what its registers mean.
//
//   - Symbol time, required signal-to-noise ratio, sensitivity, time on air: the chip
//     makers' datasheets.
//   - Packet errors: the exact symbol error rate of orthogonal signals (Proakis),
//     shifted to the datasheets' sensitivity, over fading of package fading.
//   - Noise: thermal noise and noise figure; a transmitter nearby after the makers'
//     phase noise and blocking figures.
//   - Levels from registers: RSSI and SNR of SX126x and SX127x, [Reception].
//
// A coding rate CR is 1 to 4, for 4/5 to 4/8.
package lora
