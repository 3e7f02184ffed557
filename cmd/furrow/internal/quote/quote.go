package quote

import (
	"cmp"
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"furrow/cmd/furrow/internal/value"
)

// Work is what making an order takes on one machine.
type Work struct {
	Machine      string  // id
	Quantity     int     // of parts delivered
	FirstArticle bool    // one part is made for it besides
	Pockets      int     // of the fixture
	PartS        float64 // the machine's time for one part
	LoadS        float64 // and for each load besides its parts
}

// Made returns how many parts are made: those delivered, the first article, and
// what is spoiled, in whole parts.
func (w Work) Made(spoilagePercent float64) int {
	spoiled := int(math.Ceil(float64(w.Quantity)*spoilagePercent/100 - 1e-9))
	if w.FirstArticle {
		return w.Quantity + 1 + spoiled
	}
	return w.Quantity + spoiled
}

// Loads returns how many fillings of the fixture hold so many parts.
func (w Work) Loads(made int) int {
	pockets := max(1, w.Pockets)
	return (made + pockets - 1) / pockets
}

// Line is a cost of a quote.
type Line struct {
	What   string // "machine", "material"
	Amount decimal.Decimal
}

// Quote is a price and how it comes about.
type Quote struct {
	Machine               string
	Quantity, Made, Loads int
	MachineH, LabourH     float64
	Costs                 []Line
	Cost                  decimal.Decimal // the sum of Costs
	BreakPercent          float64         // less for many
	Each                  decimal.Decimal // price of one part, rounded
	Price                 decimal.Decimal // of the order, before tax
	AtMinimum             bool            // the minimum charge holds
	Tax                   decimal.Decimal
	Total                 decimal.Decimal
	NoRate                bool // the rates name no price of an hour of the machine
}

// Of reckons the quote of a work.
func Of(w Work, r Rates) Quote {
	q := Quote{Machine: w.Machine, Quantity: w.Quantity, Made: w.Made(float64(value.Or(r.Spoilage, 0)))}
	q.Loads = w.Loads(q.Made)
	q.times(w, r)
	q.costs(w, r)
	q.price(r)
	return q
}

// times adds up the hours of the machine and of people.
func (q *Quote) times(w Work, r Rates) {
	run, loading := q.seconds(w, r)
	q.MachineH = (run + loading) / 3600
	q.LabourH = q.fixedMin(r)/60 + q.watchedS(w, r)/3600
}

// seconds returns how long the machine runs, and how long it is loaded.
func (q *Quote) seconds(w Work, r Rates) (run, loading float64) {
	return float64(q.Made)*w.PartS + float64(q.Loads)*w.LoadS, float64(q.Made) * float64(value.Or(r.Loading, 0))
}

// fixedMin returns a person's minutes that are not the parts' own.
func (q *Quote) fixedMin(r Rates) float64 {
	return float64(value.Or(r.SetUp, 0)) + float64(value.Or(r.Artwork,
		0)) + float64(q.Loads)*float64(value.Or(r.LoadSetUp, 0))
}

// watchedS returns a person's seconds at the machine.
func (q *Quote) watchedS(w Work, r Rates) float64 {
	run, loading := q.seconds(w, r)
	if value.Or(r.Unwatched, false) {
		return loading
	}
	return run + loading
}

// costs lists what the order costs to make.
func (q *Quote) costs(w Work, r Rates) {
	hour, known := r.hour(w.Machine)
	q.NoRate = !known
	labour := float64(value.Or(r.Labour, 0))
	run, loading := q.seconds(w, r)
	q.cost(r, "machine", amount(run+loading, 3600, hour))
	q.cost(r, "set-up and artwork", amount(q.fixedMin(r), 60, labour))
	q.cost(r, "loading and watching", amount(q.watchedS(w, r), 3600, labour))
	q.cost(r, "material", amount(float64(q.Made), 1, float64(value.Or(r.Blank, 0))))
}

// amount prices n of something of which there are so many to a price.
func amount(n float64, many int64, price float64) decimal.Decimal {
	return decimal.NewFromFloat(n).Mul(decimal.NewFromFloat(price)).DivRound(decimal.NewFromInt(many), 16)
}

// cost adds a line, rounded to the smallest unit, where it is anything.
func (q *Quote) cost(r Rates, what string, a decimal.Decimal) {
	a = a.Round(r.decimals())
	if a.IsZero() {
		return
	}
	q.Costs = append(q.Costs, Line{What: what, Amount: a})
	q.Cost = q.Cost.Add(a)
}

func (r Rates) decimals() int32 { return int32(value.Or(r.Decimals, 2)) }

// price goes from the cost to the price of a part, the order and the tax.
func (q *Quote) price(r Rates) {
	if q.Quantity < 1 {
		return
	}
	price := r.marked(q.Cost)
	q.BreakPercent = r.breakAt(q.Quantity)
	price = price.Mul(decimal.NewFromInt(100).Sub(decimal.NewFromFloat(q.BreakPercent))).Div(decimal.NewFromInt(100))
	parts := decimal.NewFromInt(int64(q.Quantity))
	q.Each = r.rounded(price.DivRound(parts, 16))
	q.Price = q.Each.Mul(parts)
	if least := decimal.NewFromFloat(float64(value.Or(r.Minimum, 0))).Round(r.decimals()); q.Price.LessThan(least) {
		q.Price, q.AtMinimum = least, true
		q.Each = least.DivRound(parts, r.decimals())
	}
	q.Tax = q.Price.Mul(decimal.NewFromFloat(float64(value.Or(r.Tax, 0)))).
		DivRound(decimal.NewFromInt(100), r.decimals())
	q.Total = q.Price.Add(q.Tax)
}

// marked adds the mark-up, or makes room for the margin, which is less than 100
// percent.
func (r Rates) marked(cost decimal.Decimal) decimal.Decimal {
	hundred := decimal.NewFromInt(100)
	if r.Margin != nil {
		left := hundred.Sub(decimal.NewFromFloat(float64(*r.Margin)))
		if left.Sign() > 0 {
			return cost.Mul(hundred).DivRound(left, 16)
		}
	}
	return cost.Mul(hundred.Add(decimal.NewFromFloat(float64(value.Or(r.MarkUp, 0))))).Div(hundred)
}

// breakAt returns the percent of the price break that a quantity reaches.
func (r Rates) breakAt(quantity int) float64 {
	reached := slices.DeleteFunc(slices.Clone(r.Breaks), func(b Break) bool { return b.From > quantity })
	if len(reached) == 0 {
		return 0
	}
	return slices.MaxFunc(reached, func(a, b Break) int { return cmp.Compare(a.From, b.From) }).Percent
}

// rounded rounds the price of a part by the rule. Half a step goes away from 0.
func (r Rates) rounded(each decimal.Decimal) decimal.Decimal {
	step := decimal.NewFromFloat(float64(value.Or(r.Step, 0)))
	if step.Sign() <= 0 {
		step = decimal.New(1, -r.decimals())
	}
	n := each.DivRound(step, 12)
	if value.Or(r.Upwards, false) {
		return n.Ceil().Mul(step)
	}
	return n.Round(0).Mul(step)
}
