package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/better"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/quote"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
	"furrow/raster/paper"

	"github.com/spf13/pflag"
)

var quoteCommand = command{
	name:     "quote",
	synopsis: "JOB.toml [--quantity 20,50,100] [--json | --csv] [-o QUOTE.pdf]",
	summary:  "work out what a job costs to make and what to charge, machine by machine",
	about: `The rates come from rates.toml in your settings folder (furrow quote --new-rates writes
one to fill in); the job's [price] overrides any of them. Hours are those of full loads,
the first article and the spoilage. MAKES IT says whether a machine is done by the due
day if it works on nothing else.

Money is rounded four times: each cost, the price of a part (by round_to), the price of
the order (part price times parts), and the tax. The PDF is for the customer: it shows
no costs and no machines. It is priced on the cheapest machine that makes the due day,
or on the one --machine names.`,
	example: "furrow quote tags.toml --quantity 20,50,100 -o quote.pdf",
	setup: func(fs *pflag.FlagSet) runner {
		var c quoteFlags
		outputFlags(fs, &c.out, "the customer's quote")
		value.Flag(fs, &c.quantities, "quantity", "how many parts, `N` or several as 20,50,100 (default: the job's)")
		fs.StringArrayVar(&c.machines, "machine", nil,
			"a machine to quote, `ID` or FILE.toml; may be repeated (default: all)")
		fs.StringArrayVar(&c.use, "use", nil, "recipe for a machine, `MACHINE=RECIPE`; may be repeated")
		fs.StringVar(&c.start, "start", "", "the `DAY` on which work begins, as 2026-12-01 (default today)")
		fs.StringVar(&c.date, "date", "", "the `DAY` that stands on the customer's quote (default none)")
		fs.StringVar(&c.valid, "valid", "", "the last `DAY` on which the customer's quote holds (default none)")
		value.Word(fs, &c.paper, []string{"a4", "letter"}, "paper", "`SIZE` of the PDF: a4 or letter (default a4)")
		fs.BoolVar(&c.newRates, "new-rates", false, "write a rates.toml to fill in, to the file -o names")
		fs.BoolVar(&c.json, "json", false, "print the table as JSON")
		fs.BoolVar(&c.csv, "csv", false, "print the table as CSV")
		c.workFlags(fs)
		quietFlag(fs)
		return c.run
	},
}

type quoteFlags struct {
	compareFlags
	out                product.Output
	quantities         *value.Quantities
	start, date, valid string
	paper              *string
	newRates           bool
}

func (c *quoteFlags) run(a *app, args []string) error {
	if c.newRates {
		return c.writeRates(a, args)
	}
	name, err := oneFile(args, "job file")
	if err != nil {
		return err
	}
	start, err := c.days()
	if err != nil {
		return err
	}
	if c.out.Path != "" {
		if err := c.out.Check(name); err != nil {
			return err
		}
	}
	q, err := c.reckon(a, name, start)
	if err != nil {
		return err
	}
	if c.out.Path != "" {
		if err := c.writePDF(a, q); err != nil {
			return err
		}
	}
	return product.WriteBuffered(a.besides(c.out, c.json || c.csv), func(w io.Writer) error {
		switch {
		case c.json:
			return product.WriteJSON(w, q)
		case c.csv:
			return q.writeCSV(w)
		}
		return q.print(w)
	})
}

// writeRates writes rates to fill in.
func (c *quoteFlags) writeRates(a *app, args []string) error {
	if len(args) > 0 || c.out.Path == "" {
		return fault.Usagef("--new-rates goes with -o alone").Hintf("furrow quote --new-rates -o rates.toml")
	}
	if err := c.out.Check(); err != nil {
		return err
	}
	return c.out.Write(a.stdout, func(w io.Writer) error {
		text, err := quote.Empty()
		if err == nil {
			_, err = w.Write(text)
		}
		return err
	})
}

// days checks the days and returns the one on which work begins.
func (c *quoteFlags) days() (time.Time, error) {
	for _, d := range [][2]string{{"start", c.start}, {"date", c.date}, {"valid", c.valid}} {
		if _, err := time.Parse(time.DateOnly, d[1]); d[1] != "" && err != nil {
			return time.Time{}, fault.Usagef("--%s: %q is not a day: write it as 2026-12-01", d[0], d[1])
		}
	}
	if c.date != "" && c.valid != "" && c.valid < c.date {
		return time.Time{}, fault.Usagef("--valid %s is before --date %s", c.valid, c.date)
	}
	if c.json && c.csv {
		return time.Time{}, fault.Usagef("--json and --csv at once").Hintf("choose one")
	}
	if c.start == "" {
		return time.Now(), nil
	}
	return time.Parse(time.DateOnly, c.start)
}

// reckon quotes the job on each machine that can do it.
func (c *quoteFlags) reckon(a *app, name string, start time.Time) (*quotes, error) {
	j, err := a.readJob(name)
	if err != nil {
		return nil, err
	}
	if len(j.Data) == 0 {
		return nil, fault.Usagef("%s is no job file", name).
			Hintf("furrow new %s -o JOB.toml writes one to start from", name)
	}
	shop, err := quote.Read()
	if err != nil {
		return nil, err
	}
	rates := j.Price.Over(quote.Rates{Loading: j.Order.Loading}).Over(shop)
	unnamed := rates.Unnamed()
	if rates.Loading == nil {
		rates.Loading = new(value.Number)
	}
	c.asAsked = true
	t, err := c.compare(a, name)
	if err != nil {
		return nil, err
	}
	q := &quotes{Job: name, Currency: value.Or(rates.Currency, ""), Unnamed: unnamed, rates: rates}
	if j.Order.Due != nil {
		q.Due = j.Order.Due.String()
	}
	for _, e := range t.Machines {
		if err := c.quoteOne(a, q, e, start); err != nil {
			return nil, err
		}
	}
	for _, e := range slices.Concat(t.Unfit, t.Unranked) {
		q.Left = append(q.Left, left{Machine: e.Machine, Why: e.Why})
	}
	if len(q.Rows) == 0 {
		return nil, fault.Workf("no machine can make this order: %s", q.Left[0].Why).
			Hintf("furrow compare says more of each")
	}
	return q, nil
}

// quoteOne quotes the job on one machine, from the time of a full load.
func (c *quoteFlags) quoteOne(a *app, q *quotes, e *better.Entry, start time.Time) error {
	t := &task{Resolved: e.Work.Resolved, app: a}
	if t.Job.Table.File == "" { // else the rows of the data are as many parts as are made once
		t.Job.Order.Quantity = c.most(t.Job.Order.Quantity)
	}
	kept, err := keptOf(t.Resolved)
	if err != nil {
		return err
	}
	in, err := new(orderCommandFlags).inputOf(t, kept)
	if err != nil {
		return err
	}
	o, err := order.Plan(in)
	if err != nil {
		q.Left = append(q.Left, left{Machine: e.Machine, Why: err.Error()})
		return nil
	}
	m, err := o.Make(o.Loads[0])
	if err != nil {
		q.Left = append(q.Left, left{Machine: e.Machine, Why: err.Error()})
		return nil
	}
	l, err := loadTime(m, o.Machine.Profile)
	if err != nil {
		return err
	}
	for _, n := range value.Or(c.quantities, value.Quantities{value.Quantity(o.Quantity())}) {
		q.add(o, e.Example, l, int(n), start)
	}
	return nil
}

// most is the largest quantity asked for.
func (c *quoteFlags) most(job *value.Quantity) *value.Quantity {
	if c.quantities == nil {
		return job
	}
	n := slices.Max(*c.quantities)
	return &n
}

// perLoad is the time of a part in a full load, and what the load takes besides, s.
type perLoad struct {
	part, besides float64
	span          figures.Span
	whole         time.Duration
}

func loadTime(m order.Made, p machine.Profile) (perLoad, error) {
	sum := 0.0
	for _, p := range m.Parts {
		sum += p.Seconds()
	}
	l := perLoad{part: sum / float64(len(m.Parts)), besides: max(0, m.Clock.Total().Seconds()-sum),
		whole: m.Clock.Total()}
	var err error
	l.span, err = figures.SpanOf(m.Moves, p, m.Clock)
	return l, err
}

// warn warns of what the customer's quote lacks, or promises and the shop cannot keep.
func (q *quotes) warn(a *app, machine string) {
	if q.Currency == "" {
		fault.Say(a.stderr, "warning", "the quote names no currency: name it as currency in rates.toml")
	}
	for _, r := range q.Rows {
		if r.Machine == machine && !value.Or(r.InTime, true) {
			fault.Say(a.stderr, "warning", fmt.Sprintf("the quote names %s as the day it is due, and %s of it are done "+
				"on %s at the earliest", q.Due, words.Plural(r.Quantity, "part"), r.Done))
			return
		}
	}
}

func (c *quoteFlags) paperSize() paper.Size {
	if value.Or(c.paper, "a4") == "letter" {
		return paper.Letter
	}
	return paper.A4
}

// writePDF writes the customer's quote, of one machine.
func (c *quoteFlags) writePDF(a *app, q *quotes) error {
	if !strings.HasSuffix(strings.ToLower(c.out.Path), ".pdf") && !c.out.ToStdout() {
		return fault.Usagef("the quote %s is no .pdf", c.out.Path)
	}
	best := q.best()
	for _, r := range q.Rows {
		if r.Machine == best && r.NoRate {
			return fault.Workf("no quote for a customer without a price of an hour of %s", best).
				Hintf("name it under machine_hour in rates.toml; furrow quote --new-rates -o rates.toml writes one " +
					"to fill in")
		}
	}
	s, err := q.sheet(best)
	if err != nil {
		return err
	}
	s.Date, s.Valid = c.date, c.valid
	q.warn(a, best)
	if err := c.out.Write(a.stdout, func(w io.Writer) error { return s.Encode(w, c.paperSize()) }); err != nil {
		return err
	}
	fmt.Fprintf(a.besides(c.out, false), "%-12s %s, on %s\n", "written", c.out.Path, best)
	return nil
}

// dayWords words a day shortly.
func dayWords(t time.Time) string { return t.Format("Mon ") + t.Format(time.DateOnly) }

// hoursWords words hours of work.
func hoursWords(h float64) string { return words.Time(words.Seconds(h * 3600)) }
