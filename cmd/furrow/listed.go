package main

import "furrow/cmd/furrow/internal/settings"

// listedMachine is a machine in what machines --json prints.
type listedMachine struct {
	ID           string     `json:"id"`
	Name         string     `json:"name"`
	Kind         string     `json:"kind"`
	Example      bool       `json:"built_in_example"`
	File         string     `json:"file,omitempty"`
	ReachMM      [2]float64 `json:"reach_mm"` // of its bed or field
	PowerW       float64    `json:"power_w"`
	WavelengthNM float64    `json:"wavelength_nm"`
}

func listedMachines(all []settings.Machine) []listedMachine {
	listed := []listedMachine{}
	for _, m := range all {
		l := listedMachine{ID: m.ID, Name: m.Name, Kind: m.Kind, Example: m.BuiltIn(), File: m.File,
			PowerW: m.Laser.RatedPowerW, WavelengthNM: m.Laser.WavelengthNM}
		if m.IsGantry() {
			l.ReachMM = m.Gantry.BedMM
		} else {
			l.ReachMM = m.Galvo.FieldMM
		}
		listed = append(listed, l)
	}
	return listed
}

// machineChecked is what machines check --json prints.
type machineChecked struct {
	listedMachine
	Doubts     []keyDoubt  `json:"doubts"`
	Assumed    []keyGuess  `json:"assumed"`
	Correction *correction `json:"correction,omitempty"`
}

type keyDoubt struct {
	Key     string `json:"key"`
	Problem string `json:"problem"`
}

// keyGuess is a value that nobody measured.
type keyGuess struct {
	Key   string    `json:"key"`
	Value []float64 `json:"value,omitempty"`
	Word  string    `json:"word,omitempty"` // of a value that is one
	Times bool      `json:"times_rest_on_it"`
	Find  string    `json:"find"`
}

func checkedMachine(m settings.Machine) machineChecked {
	c := machineChecked{listedMachine: listedMachines([]settings.Machine{m})[0], Doubts: []keyDoubt{},
		Assumed:    []keyGuess{},
		Correction: correctionOf(m.Profile)}
	for _, d := range m.Doubts() {
		c.Doubts = append(c.Doubts, keyDoubt{d.Key, d.Problem})
	}
	for _, g := range m.Assumed() {
		word, _ := g.Text(m.Profile)
		c.Assumed = append(c.Assumed, keyGuess{Key: g.Key, Value: g.Value(m.Profile), Word: word,
			Times: g.Moves(), Find: g.Find})
	}
	return c
}

// listedRecipe is a recipe in what recipes --json prints.
type listedRecipe struct {
	ID        string  `json:"id"`
	Material  string  `json:"material"`
	Machine   string  `json:"machine"`
	Purpose   string  `json:"purpose"`
	Speed     float64 `json:"speed_mm_s"`
	Power     float64 `json:"power_percent"`
	SpacingMM float64 `json:"spacing_mm"`
	Tested    string  `json:"tested_on,omitempty"`
	Example   bool    `json:"built_in_example"`
	File      string  `json:"file,omitempty"`
}

func listedRecipes(all []settings.Recipe) []listedRecipe {
	listed := []listedRecipe{}
	for _, r := range all {
		listed = append(listed, listedRecipe{ID: r.ID, Material: r.Material, Machine: r.Machine, Purpose: r.Purpose,
			Speed: r.SpeedMMPerS, Power: r.PowerPercent, SpacingMM: r.SpacingMM, Tested: r.TestedOn,
			Example: r.File == "", File: r.File})
	}
	return listed
}
