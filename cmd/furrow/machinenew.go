package main

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"os"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"

	"github.com/spf13/pflag"
	"golang.org/x/term"
)

// plate is what the plate or the manual of a machine tells.
type plate struct {
	kind     *string
	id, name string
	reach    *value.Point
	power    *value.Power
	nm       *value.Wavelength
	top      *value.Speed
	pulses   *pulses
}

// pulses are the lowest and the highest frequency of a pulsed source, kHz, and its pulse
// length, ns.
type pulses [3]float64

func (p *pulses) Set(s string) error {
	if n, err := fmt.Sscanf(strings.ReplaceAll(s, ",", " "), "%g %g %g", &p[0], &p[1], &p[2]); n != 3 || err != nil {
		return fmt.Errorf("%q is not the lowest and highest frequency, kHz, and the pulse length, ns, as 30,100,100", s)
	}
	return nil
}

var machineKinds = []string{machine.KindGantry, machine.KindGalvo}

func (p *plate) flags(fs *pflag.FlagSet) {
	value.Word(fs, &p.kind, machineKinds, "kind", "new: from the plate in place of a copy: `KIND` gantry or galvo")
	value.Flag(fs, &p.reach, "reach", "new: what the machine reaches, `W,H`")
	value.Flag(fs, &p.power, "rated-power", "new: mean power of the source, `POWER` as 60W")
	value.Flag(fs, &p.nm, "wavelength", "new: of the source, `LENGTH` as 1064nm or 10.6um")
	value.Flag(fs, &p.top, "top-speed", "new: greatest marking speed, `SPEED` as 100mm/s, 6000mm/min or 6m/min")
	value.Flag(fs, &p.pulses, "pulses", "new: of a pulsed source: lowest and highest frequency, kHz, and pulse "+
		"length, ns, `LO,HI,NS`")
	fs.StringVar(&p.id, "id", "", "new: `ID` of the profile (default my-gantry or my-galvo)")
	fs.StringVar(&p.name, "name", "", "new: `NAME` for people")
}

// given reports that anything is said of a plate.
func (p *plate) given() bool {
	return p.kind != nil || p.reach != nil || p.power != nil || p.nm != nil || p.top != nil || p.pulses != nil ||
		p.id != "" || p.name != ""
}

// write writes a profile of what the plate tells; all else is left out, and assumed.
func (p *plate) write(a *app, out product.Output, asJSON bool) error {
	if err := out.Check(); err != nil {
		return err
	}
	if r, ok := a.person(); ok {
		if err := p.ask(r, a.stderr); err != nil {
			return err
		}
	}
	profile, err := p.profile()
	if err != nil {
		return err
	}
	if err := profile.Validate(); err != nil {
		return fault.Usagef("what the plate is said to tell makes no profile: %w", err)
	}
	return a.writeNew(out, settings.Machine{Profile: profile, File: cmp.Or(out.Path, "-")}, asJSON)
}

// writeNew writes a profile to start from, and with --json tells what of it is assumed.
func (a *app) writeNew(out product.Output, m settings.Machine, asJSON bool) error {
	err := out.Write(a.stdout, func(w io.Writer) error { return writeNewProfile(w, m) })
	if err != nil || !asJSON {
		return err
	}
	m.File = out.Path
	return product.WriteJSON(a.besides(out, true), checkedMachine(m))
}

// person returns what a person types; false where nobody can be asked.
func (a *app) person() (io.Reader, bool) {
	in, ok := a.stdin.(*os.File)
	return in, ok && term.IsTerminal(int(in.Fd())) && fault.Terminal(a.stderr)
}

// question is what a plate may tell.
type question struct {
	text    string
	missing bool
	may     bool // be left empty
	set     func(string) error
}

func (p *plate) questions() []question {
	return []question{
		{text: "kind of machine: gantry (moves a head) or galvo (steers the beam)", missing: p.kind == nil,
			set: func(s string) error {
				if s != machine.KindGantry && s != machine.KindGalvo {
					return fmt.Errorf("%q is neither gantry nor galvo", s)
				}
				p.kind = &s
				return nil
			}},
		{text: "what it reaches: width,height in mm", missing: p.reach == nil, set: setter(&p.reach)},
		{text: "mean power of the source, W, as 60 or 60W", missing: p.power == nil, set: setter(&p.power)},
		{text: "wavelength, nm, as 1064, 1064nm or 10.6um", missing: p.nm == nil, set: setter(&p.nm)},
		{text: "top speed while marking, mm/s, as 100, 100mm/s, 6000mm/min or 6m/min", missing: p.top == nil,
			set: setter(&p.top)},
	}
}

// ofGalvo is what is asked of a galvo alone.
func (p *plate) ofGalvo() []question {
	return []question{{text: "pulsed source: lowest,highest frequency in kHz,pulse length in ns (empty: continuous)",
		missing: p.pulses == nil, may: true, set: setter(&p.pulses)}}
}

// setter fills in a value from what is typed.
func setter[T any, P interface {
	*T
	Set(string) error
}](to **T) func(string) error {
	return func(s string) error {
		v := new(T)
		err := P(v).Set(s)
		if err == nil {
			*to = v
		}
		return err
	}
}

// ask asks for what is not given yet, until it can be read.
func (p *plate) ask(r io.Reader, w io.Writer) error {
	lines := bufio.NewReader(r)
	if err := askAll(p.questions(), lines, w); err != nil || p.kind == nil || *p.kind != machine.KindGalvo {
		return err
	}
	return askAll(p.ofGalvo(), lines, w)
}

func askAll(all []question, lines *bufio.Reader, w io.Writer) error {
	for _, q := range all {
		for done := !q.missing; !done; {
			fmt.Fprintf(w, "%s: ", q.text)
			line, err := lines.ReadString('\n')
			line = strings.TrimSpace(line)
			switch {
			case line == "" && err != nil:
				return fault.Usagef("%s: not told", q.text)
			case line == "" && q.may:
				done = true
			default:
				if bad := q.set(line); bad != nil {
					fmt.Fprintf(w, "%v\n", bad)
					continue
				}
				done = true
			}
		}
	}
	return nil
}

// profile holds what the plate tells, and of all else the default of its kind.
func (p *plate) profile() (machine.Profile, error) {
	for _, q := range p.questions() {
		if q.missing {
			return machine.Profile{}, fault.Usagef("not told: %s", q.text).
				Hintf("--kind, --reach, --rated-power, --wavelength and --top-speed say it without a terminal; " +
					"or name a profile to copy, which furrow machines lists")
		}
	}
	of := machine.Profile{Furrow: 1, ID: cmp.Or(p.id, "my-"+*p.kind), Name: cmp.Or(p.name,
		"my "+*p.kind), Kind: *p.kind,
		Laser: machine.Laser{WavelengthNM: float64(*p.nm), RatedPowerW: float64(*p.power)}}
	reach, top := [2]float64{p.reach.X, p.reach.Y}, float64(*p.top)
	if *p.kind == machine.KindGalvo {
		of.Galvo = &machine.Galvo{FieldMM: reach, MaxSpeedMMPerS: top}
	} else {
		of.Gantry = &machine.Gantry{BedMM: reach, MaxSpeedMMPerS: [2]float64{top, top}}
		of.GCode = &machine.GCode{}
	}
	if q := p.pulses; q != nil {
		of.Laser.FrequencyKHz, of.Laser.PulseNS = &[2]float64{q[0], q[1]}, q[2]
	}
	return of.Complete(func(key string) bool { return key == "laser.pulse_ns" }), nil
}
