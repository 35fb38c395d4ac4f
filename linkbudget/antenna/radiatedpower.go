package antenna

import "github.com/polereach/polereach/linkbudget/radio"

// Effective radiated power is told over an isotropic antenna (EIRP, gain in
// dBi) or over a half-wave dipole (ERP, gain in dBd). The rules of 863 to 870
// MHz in Europe mean ERP, most others EIRP: the difference is 2.15 dB.

// ERPFromEIRP returns the power over a half-wave dipole: EIRP - 2.15 dB.
func ERPFromEIRP(eirp radio.DBm) radio.DBm { return eirp.Add(-HalfWaveDipoleGain) }

// EIRPFromERP returns the power over an isotropic antenna: ERP + 2.15 dB.
func EIRPFromERP(erp radio.DBm) radio.DBm { return erp.Add(HalfWaveDipoleGain) }
