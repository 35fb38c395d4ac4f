package linkbudget

// Effective radiated power is told over an isotropic antenna (EIRP, gain in
// dBi) or over a half-wave dipole (ERP, gain in dBd). The rules of 863 to 870
// MHz in Europe mean ERP, most others EIRP: the difference is 2.15 dB.

// ERPFromEIRP returns the power over a half-wave dipole: EIRP - 2.15 dB.
func ERPFromEIRP(eirp DBm) DBm { return eirp.Add(-HalfWaveDipoleGain) }

// EIRPFromERP returns the power over an isotropic antenna: ERP + 2.15 dB.
func EIRPFromERP(erp DBm) DBm { return erp.Add(HalfWaveDipoleGain) }

// DBiFromDBd returns a gain over an isotropic antenna from one over a half-wave
// dipole: dBi = dBd + 2.15.
func DBiFromDBd(dBd DB) DB { return dBd + HalfWaveDipoleGain }

// DBdFromDBi returns a gain over a half-wave dipole from one over an isotropic
// antenna: dBd = dBi - 2.15.
func DBdFromDBi(dBi DB) DB { return dBi - HalfWaveDipoleGain }
