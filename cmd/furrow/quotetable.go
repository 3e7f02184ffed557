package main

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/quote"
	"furrow/cmd/furrow/internal/sheet"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
)

// quotes are those of a job on the machines that can make it. The JSON keys are a
// contract; money is text, so that no reader rounds it.
type quotes struct {
	Job      string     `json:"job"`
	Currency string     `json:"currency,omitempty"`
	Due      string     `json:"due,omitempty"`
	Rows     []quoteRow `json:"quotes"`
	Left     []left     `json:"not_quoted,omitempty"`
	Unnamed  []string   `json:"reckoned_as_nothing,omitempty"` // keys of rates.toml that nobody gave

	rates quote.Rates
}

type left struct {
	Machine string `json:"machine"`
	Why     string `json:"why_not"`
}

// quoteRow is a quantity on a machine.
type quoteRow struct {
	Machine  string            `json:"machine"`
	Example  bool              `json:"built_in_example"`
	Quantity int               `json:"quantity"`
	Made     int               `json:"made"`
	Loads    int               `json:"loads"`
	MachineH float64           `json:"machine_hours"`
	LabourH  float64           `json:"labour_hours"`
	Costs    map[string]string `json:"costs"`
	Cost     string            `json:"cost"`
	Each     string            `json:"price_each"`
	Price    string            `json:"price"`
	Minimum  bool              `json:"minimum_charge,omitempty"`
	Tax      string            `json:"tax"`
	Total    string            `json:"total"`
	Done     string            `json:"done_on,omitempty"`
	InTime   *bool             `json:"in_time,omitempty"` // nil where no day is known
	NoRate   bool              `json:"no_machine_rate,omitempty"`
	Least    string            `json:"price_least,omitempty"` // by what is assumed of the machine
	Most     string            `json:"price_most,omitempty"`
	LeastH   float64           `json:"machine_hours_least,omitempty"`
	MostH    float64           `json:"machine_hours_most,omitempty"`
	Assumed  []string          `json:"assumed,omitempty"`

	q     quote.Quote
	order *order.Order
	done  time.Time
}

// add quotes a quantity.
func (t *quotes) add(o *order.Order, example bool, time perLoad, quantity int, start time.Time) {
	w := quote.Work{
		Machine: o.Machine.ID, Quantity: quantity, FirstArticle: value.Or(o.Job.Order.FirstArticle,
			true) && quantity > 1,
		Pockets: len(o.Pockets), PartS: time.part, LoadS: time.besides,
	}
	q := quote.Of(w, t.rates)
	r := quoteRow{
		Machine: w.Machine, Example: example, Quantity: quantity, Made: q.Made, Loads: q.Loads,
		MachineH: q.MachineH, LabourH: q.LabourH, Costs: map[string]string{}, Cost: t.money(q.Cost),
		Each:  t.money(q.Each),
		Price: t.money(q.Price), Minimum: q.AtMinimum, Tax: t.money(q.Tax), Total: t.money(q.Total), NoRate: q.NoRate,
		q: q, order: o,
	}
	if s := time.span; s.Known() {
		at := func(end float64) (price string, hours float64) {
			other := w
			other.PartS, other.LoadS = w.PartS*end/time.whole.Seconds(), w.LoadS*end/time.whole.Seconds()
			q := quote.Of(other, t.rates)
			return t.money(q.Price), q.MachineH
		}
		r.Least, r.LeastH = at(s.Low.Seconds())
		r.Most, r.MostH = at(s.High.Seconds())
		r.Assumed = s.Assumed
	}
	for _, l := range q.Costs {
		r.Costs[l.What] = t.money(l.Amount)
	}
	if day, ok := t.rates.Done(q.MachineH, start); ok {
		r.Done, r.done = day.Format("2006-01-02"), day
		if t.Due != "" {
			in := r.Done <= t.Due
			r.InTime = &in
		}
	}
	t.Rows = append(t.Rows, r)
}

// money writes an amount with the digits of the currency.
func (t *quotes) money(d decimal.Decimal) string {
	return d.StringFixed(int32(value.Or(t.rates.Decimals, 2)))
}

// best is the machine that makes all quantities in time for the least price; where
// none does, the one that is done first.
func (t *quotes) best() string {
	type sum struct {
		machine string
		late    bool
		price   decimal.Decimal
		hours   float64
	}
	var all []sum
	for _, r := range t.Rows {
		i := slices.IndexFunc(all, func(s sum) bool { return s.machine == r.Machine })
		if i < 0 {
			i = len(all)
			all = append(all, sum{machine: r.Machine})
		}
		all[i].price = all[i].price.Add(r.q.Price)
		all[i].hours += r.MachineH
		all[i].late = all[i].late || !value.Or(r.InTime, true)
	}
	return slices.MinFunc(all, func(a, b sum) int {
		switch {
		case a.late != b.late:
			return cmp.Compare(btoi(a.late), btoi(b.late))
		case a.late:
			return cmp.Compare(a.hours, b.hours)
		}
		return cmp.Or(a.price.Cmp(b.price), cmp.Compare(a.hours, b.hours))
	}).machine
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// print writes the table and what stands below it.
func (t *quotes) print(w io.Writer) error {
	fmt.Fprintf(w, "%s, %s", t.Job, t.Rows[0].order.Title())
	if t.Due != "" {
		fmt.Fprintf(w, ", due %s", t.Due)
	}
	if t.Currency != "" {
		fmt.Fprintf(w, "; money in %s", t.Currency)
	}
	fmt.Fprint(w, "\n\n")
	if id := t.unpriced(); id != "" {
		fmt.Fprintf(w, "No prices: what an hour of %s costs is not known. furrow quote --new-rates -o rates.toml "+
			"writes\n"+
			"rates to fill in: name it there under machine_hour, and keep the file%s.\n\n", id, inSettings())
	}
	table := words.Table{Heads: []string{"MACHINE", "PARTS", "MADE", "LOADS", "MACHINE TIME", "LABOUR", "COST", "EACH",
		"NET", "TAX", "TOTAL", "DONE"}}
	for _, r := range t.Rows {
		row := []string{r.Machine, words.Thousands(int64(r.Quantity)), words.Thousands(int64(r.Made)),
			words.Thousands(int64(r.Loads)),
			hoursWords(r.MachineH), hoursWords(r.LabourH)}
		for _, money := range []string{r.Cost, r.Each, r.Price, r.Tax, r.Total} {
			row = append(row, r.moneyWords(money))
		}
		table.Add(append(row, r.doneWords())...)
	}
	if err := table.Write(w); err != nil {
		return err
	}
	fmt.Fprintln(w)
	for _, r := range t.Rows {
		fmt.Fprintf(w, "%s, %s: %s\n", r.Machine, words.Plural(r.Quantity, "part"), t.costWords(r))
	}
	t.printNotes(w)
	return nil
}

// unpriced names the machines of which no price of an hour is known.
func (t *quotes) unpriced() string {
	var ids []string
	for _, r := range t.Rows {
		if r.NoRate && !slices.Contains(ids, r.Machine) {
			ids = append(ids, r.Machine)
		}
	}
	return strings.Join(ids, ", ")
}

// inSettings says where the rates lie; nothing where there is no place for settings.
func inSettings() string {
	name, err := quote.File()
	if err != nil {
		return ""
	}
	return " as " + name
}

// moneyWords is an amount, or a dash where the machine's share of it is not known.
func (r quoteRow) moneyWords(amount string) string {
	if r.NoRate {
		return "-"
	}
	return words.Grouped(amount)
}

func (r quoteRow) doneWords() string {
	switch {
	case r.Done == "":
		return "-"
	case r.InTime == nil:
		return dayWords(r.done)
	case *r.InTime:
		return dayWords(r.done) + ", in time"
	}
	return dayWords(r.done) + ", too late"
}

// costWords lists the costs and what the price is made of.
func (t *quotes) costWords(r quoteRow) string {
	var all []string
	for _, l := range r.q.Costs {
		all = append(all, l.What+" "+words.Grouped(t.money(l.Amount)))
	}
	switch {
	case r.NoRate:
		all = append(all, "the machine's hours are not in it")
	case len(all) == 0:
		all = append(all, "no cost")
	}
	if r.q.BreakPercent > 0 {
		all = append(all, fmt.Sprintf("price break %s %%", words.Decimal(r.q.BreakPercent, 2)))
	}
	if r.Minimum && !r.NoRate {
		all = append(all, "the minimum charge holds")
	}
	return strings.Join(all, ", ") + r.rangeWords()
}

// rangeWords tells the ends of the machine's time, and of the price, by what is known of its
// motion.
func (r quoteRow) rangeWords() string {
	if hoursWords(r.LeastH) == hoursWords(r.MostH) {
		return "" // what rounds to nothing is no range
	}
	text := fmt.Sprintf("\n  machine time %s to %s", hoursWords(r.LeastH), hoursWords(r.MostH))
	if r.Least != r.Most && !r.NoRate {
		text += fmt.Sprintf(" and price %s to %s", words.Grouped(r.Least), words.Grouped(r.Most))
	}
	if len(r.Assumed) == 0 {
		return text + " by the measured runs"
	}
	return text + " until the machine's motion is measured"
}

// printNotes says what the figures rest on.
func (t *quotes) printNotes(w io.Writer) {
	for _, l := range t.Left {
		fmt.Fprintf(w, "\nnot quoted: %s: %s", l.Machine, l.Why)
	}
	fmt.Fprintln(w)
	if len(t.Unnamed) > 0 && slices.ContainsFunc(t.Rows, func(r quoteRow) bool { return !r.NoRate }) {
		fmt.Fprintf(w, "Reckoned as nothing, since neither rates.toml nor the job names it: %s.\n",
			strings.Join(t.Unnamed, ", "))
	}
	said := map[string]bool{}
	for _, r := range t.Rows {
		if r.Example && !said[r.Machine] {
			fmt.Fprintf(w, "%s is a built-in example, not your machine.\n", r.Machine)
		}
		said[r.Machine] = true
	}
	if t.Due != "" && t.rates.HoursADay == nil {
		fmt.Fprintln(w, "Which machine is done by the due day is not known: name hours_a_day in rates.toml.")
	}
}

// writeCSV writes a line for each quantity on each machine.
func (t *quotes) writeCSV(w io.Writer) error {
	c := csv.NewWriter(w)
	c.Write([]string{"machine", "quantity", "made", "loads", "machine_hours", "labour_hours", "currency",
		"cost", "price_each",
		"price", "tax", "total", "done_on"})
	for _, r := range t.Rows {
		c.Write([]string{r.Machine, strconv.Itoa(r.Quantity), strconv.Itoa(r.Made), strconv.Itoa(r.Loads),
			words.Shortest(r.MachineH), words.Shortest(r.LabourH), t.Currency, r.Cost, r.Each, r.Price, r.Tax,
			r.Total, r.Done})
	}
	c.Flush()
	return c.Error()
}

// sheet is what the customer sees of the quotes of a machine.
func (t *quotes) sheet(machine string) (sheet.Quote, error) {
	s := sheet.Quote{Due: t.Due, Shop: value.Or(t.rates.Shop, ""), Address: t.rates.Address,
		Terms: value.Or(t.rates.Terms, ""), Delivery: value.Or(t.rates.Delivery, "")}
	if percent := float64(value.Or(t.rates.Tax, 0)); percent > 0 {
		s.Tax = fmt.Sprintf("%s %s %%", value.Or(t.rates.TaxName, "Tax"), words.Decimal(percent, 2))
	}
	amount := func(text string) string { return strings.TrimSpace(words.Grouped(text) + " " + t.Currency) }
	var err error
	for _, r := range t.Rows {
		if r.Machine != machine {
			continue
		}
		if len(s.Offers) == 0 {
			s.Order, s.Blank, s.Customer = r.order.Title(), r.order.BlankWords(),
				value.Or(r.order.Job.Order.Customer, "")
			if s.Picture, err = r.order.FirstPicture(); err != nil {
				return s, err
			}
			if s.Fonts, err = r.order.Fonts(); err != nil {
				return s, err
			}
		}
		each := amount(r.Each)
		if r.Minimum { // a part's share of it, times the parts, may not be the price
			each = "minimum charge"
		}
		s.Offers = append(s.Offers, sheet.Offer{
			Quantity: words.Thousands(int64(r.Quantity)), Each: each, Price: amount(r.Price),
			Tax: amount(r.Tax), Total: amount(r.Total),
		})
	}
	return s, nil
}
