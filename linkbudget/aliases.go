package linkbudget

import (
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// What every caller needs, so that a first program imports one package.
type (
	// DB is a ratio in decibels, see [radio.DB].
	DB = radio.DB
	// DBm is a level, see [radio.DBm].
	DBm = radio.DBm
	// Modem is the setting of a LoRa radio, see [lora.Modem].
	Modem = lora.Modem
	// Packet is what is sent, see [lora.Packet].
	Packet = lora.Packet
	// Antenna is a pattern and where it looks, see [antenna.Antenna].
	Antenna = antenna.Antenna
	// FieldError is a value that is not allowed, see [fault.FieldError].
	FieldError = fault.FieldError
)
