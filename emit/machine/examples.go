package machine

// Examples returns the built-in profiles. They describe no real machine:
// all that may be assumed of one is.
func Examples() []Profile {
	return []Profile{exampleCO2().invented(), exampleDiode().invented(), exampleFibre().invented()}
}

func exampleCO2() Profile {
	return Profile{
		Furrow: 1, ID: "example-co2", Name: "example CO2 gantry", Kind: KindGantry,
		Gantry: &Gantry{
			BedMM: [2]float64{600, 400}, Zero: ZeroByHand,
			MaxSpeedMMPerS: [2]float64{500, 300}, AccelMMPerS2: [2]float64{5000, 1500}, RapidMMPerS: 400,
			CornerErrorMM: 0.02, OvertravelMarginMM: 0.5, BeamOnLatencyUS: 300, BeamOffLatencyUS: 300,
		},
		Laser: Laser{WavelengthNM: 10600, RatedPowerW: 40, SpotMM: [2]float64{0.15, 0.15}},
		GCode: &GCode{PowerWordMax: 1000, PowerMode: PowerSteady, LinkBytesPerS: 11500},
	}
}

func exampleDiode() Profile {
	return Profile{
		Furrow: 1, ID: "example-diode", Name: "example diode gantry", Kind: KindGantry,
		Gantry: &Gantry{
			BedMM: [2]float64{400, 400}, Zero: ZeroByHand,
			MaxSpeedMMPerS: [2]float64{150, 150}, AccelMMPerS2: [2]float64{800, 800}, RapidMMPerS: 150,
			CornerErrorMM: 0.02, OvertravelMarginMM: 0.5, BeamOnLatencyUS: 50, BeamOffLatencyUS: 50,
		},
		Laser: Laser{WavelengthNM: 450, RatedPowerW: 10, SpotMM: [2]float64{0.08, 0.12}},
		GCode: &GCode{PowerWordMax: 1000, PowerMode: PowerSpeedFollowing, LinkBytesPerS: 11500},
	}
}

// exampleFibre has digits in a row for speeds and delays, so that nobody takes them for a scanner's. Its mark
// delay is longer than its laser-off delay, or the next jump would cut marks short.
func exampleFibre() Profile {
	return Profile{
		Furrow: 1, ID: "example-fibre", Name: "example fibre galvo", Kind: KindGalvo,
		Galvo: &Galvo{
			FieldMM: [2]float64{175, 175}, MaxSpeedMMPerS: 6543, JumpSpeedMMPerS: 3456,
			JumpDelayUS: 234, ShortJumpDelayUS: 67, ShortJumpMM: 2.1,
			MarkDelayUS: 123, CornerDelayUS: 45, LaserOnDelayUS: 89, LaserOffDelayUS: 111,
		},
		Laser: Laser{
			WavelengthNM: 1064, RatedPowerW: 50, SpotMM: [2]float64{0.06, 0.06},
			FrequencyKHz: &[2]float64{30, 100}, PulseNS: 100, MaxPulseEnergyMJ: 1,
		},
	}
}
