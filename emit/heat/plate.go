package heat

import (
	"fmt"
	"iter"
	"math"

	"furrow/path"
)

// Plate is what is marked.
type Plate struct {
	Rect        path.Rect // mm
	ThicknessMM float64
	Material    Material
	Loss        Loss
}

// Loss is what leaves the plate for each kelvin of its rise, W/m2K. The zero value
// keeps all heat in.
type Loss struct{ Above, Below float64 }

// StillAir is the loss to still air by free convection and radiation, of one face:
// free convection in air is put at 2 to 25 W/m2K and 4·σ·T³ at 300 K is 6.1 W/m2K
// of a black face (Incropera, table 1.1 and section 1.2, from memory); 8 is on the
// low side of their sum for a small plate, so that the rise is not told too low.
const StillAir = 8.0

// airGapToMetal is the loss through still air 0.1 mm thick: 0.026 W/mK (air at 300 K;
// Incropera, table A.4, from memory) over 0.1 mm. The gap is an assumption: a flat loose
// sheet touches a bed in a few places, and one that bows leaves it.
const airGapToMetal = 260.0

// The ways a plate may lie.
var (
	OnPins  = Loss{Above: StillAir, Below: StillAir}
	OnTable = Loss{Above: StillAir}                       // on wood or honeycomb, which takes little
	OnMetal = Loss{Above: StillAir, Below: airGapToMetal} // flat on a thick bed of metal at the room's temperature
)

// Deposit is energy that the beam lays down along a straight piece of way, evenly
// in time. A dot has both ends in one place.
type Deposit struct {
	From, To   path.Point // mm
	Start, End float64    // s
	EnergyJ    float64    // of the beam, not only of what is absorbed
}

// Deposits is a job's deposits in the sequence of time. It can be ranged over any
// number of times.
type Deposits = iter.Seq[Deposit]

// Check refuses a plate that there is no answer for.
func (p Plate) Check() error {
	switch {
	case !(p.Rect.W() > 0 && p.Rect.H() > 0):
		return fmt.Errorf("the plate's size is not known")
	case !(p.ThicknessMM > 0) || math.IsInf(p.ThicknessMM, 0):
		return fmt.Errorf("the plate's thickness is not known")
	}
	return p.Material.Validate()
}

// areaHeat returns the energy that warms a square millimetre by a kelvin, J/mm2K.
func (p Plate) areaHeat() float64 {
	return p.Material.DensityKgM3 * p.Material.SpecificHeat * p.ThicknessMM * 1e-9
}

// Heat returns the energy that warms the plate by a kelvin, J/K.
func (p Plate) Heat() float64 { return p.areaHeat() * p.Rect.W() * p.Rect.H() }

// lossRate returns the share of its rise that the plate loses in a second.
func (p Plate) lossRate() float64 {
	return (p.Loss.Above + p.Loss.Below) * 1e-6 / p.areaHeat()
}

// mostBiot is the greatest Biot number, and mostDepth the greatest thickness in
// lengths over which heat spreads in a step, at which a plate counts as thin:
// the usual limit of the lumped method (Incropera, section 5.1, from memory), and
// ours.
const (
	mostBiot  = 0.1
	mostDepth = 1.0
)

// Thin reports whether the plate is as warm below as above, over times of seconds,
// and says why where it is not.
func (p Plate) Thin(seconds float64) (bool, string) {
	biot := (p.Loss.Above + p.Loss.Below) * p.ThicknessMM * 1e-3 / p.Material.Conductivity
	far := math.Sqrt(p.Material.Diffusivity() * seconds)
	switch {
	case biot > mostBiot:
		return false, fmt.Sprintf("it loses heat more quickly than heat crosses it (Biot number %.2g)", biot)
	case p.ThicknessMM > mostDepth*far:
		return false, fmt.Sprintf("heat goes %.2g mm into it in %.2g s, less than its thickness of %.3g mm: "+
			"its face gets hotter", far, seconds, p.ThicknessMM)
	}
	return true, ""
}
