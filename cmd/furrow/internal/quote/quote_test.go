package quote_test

import (
	"testing"

	"github.com/shopspring/decimal"
	"github.com/stretchr/testify/assert"

	"furrow/cmd/furrow/internal/quote"
	"furrow/cmd/furrow/internal/value"
)

func num(v float64) *value.Number { n := value.Number(v); return &n }

func yes() *bool { b := true; return &b }

// 24 tree tags of 46.3 s each on a fixture of 12, worked by hand:
//
//	spoiled 5 % of 24 = 1.2, so 2; first article 1: 27 parts, 3 loads
//	run 27 x 46.3 s + 3 x 4 s = 1,262.1 s; loading 27 x 20 s = 540 s; machine 1,802.1 s = 0.500583 h x 36 = 18.02
//	set-up 15 min, artwork 20 min, 3 x 2 min: 41 min x 30/h = 20.50
//	loading and watching 1,802.1 s x 30/h = 15.02 (15.0175)
//	material 27 x 1.85 = 49.95; cost 103.49
//	mark-up 40 %: 144.886; 24 parts are in the break from 20 on, 5 % less: 137.6417
//	a part 5.73507, to 0.05: 5.75; order 138.00; tax 19 %: 26.22; total 164.22
func rates() quote.Rates {
	return quote.Rates{
		Machine: map[string]float64{"example-fibre": 36}, Labour: num(30), SetUp: num(15), LoadSetUp: num(2),
		Loading: num(20),
		Artwork: num(20), Blank: num(1.85), Spoilage: num(5), MarkUp: num(40), Step: num(0.05), Tax: num(19),
		Breaks: []quote.Break{{From: 100, Percent: 15}, {From: 20, Percent: 5}},
	}
}

func tags() quote.Work {
	return quote.Work{Machine: "example-fibre", Quantity: 24, FirstArticle: true, Pockets: 12, PartS: 46.3, LoadS: 4}
}

func is(t *testing.T, want string, got decimal.Decimal) {
	t.Helper()
	assert.True(t, decimal.RequireFromString(want).Equal(got), "want %s, got %s", want, got)
}

func TestWorkedByHand(t *testing.T) {
	q := quote.Of(tags(), rates())
	assert.Equal(t, 27, q.Made)
	assert.Equal(t, 3, q.Loads)
	assert.InDelta(t, 0.500583, q.MachineH, 1e-6)
	assert.InDelta(t, 41./60+0.500583, q.LabourH, 1e-6)
	for i, want := range []string{"18.02", "20.50", "15.02", "49.95"} {
		is(t, want, q.Costs[i].Amount)
	}
	is(t, "103.49", q.Cost)
	is(t, "5.75", q.Each)
	is(t, "138", q.Price)
	is(t, "26.22", q.Tax)
	is(t, "164.22", q.Total)
	assert.False(t, q.AtMinimum)
}

// The same in a currency without a smaller unit, rounded up to whole tens: costs
// 18 + 21 (20.5) + 15 + 50 = 104; 145.6; 138.32; a part 5.7633, up: 10; order 240;
// tax 45.6, 46.
func TestAnotherCurrency(t *testing.T) {
	r := rates()
	r.Decimals, r.Step, r.Upwards = num(0), num(10), yes()
	q := quote.Of(tags(), r)
	is(t, "104", q.Cost)
	is(t, "10", q.Each)
	is(t, "240", q.Price)
	is(t, "46", q.Tax)
	is(t, "286", q.Total)
}

// A margin of 40 % of the price is another thing than a mark-up of 40 % of the
// cost: 103.49 / 0.6 = 172.4833; 5 % less 163.8592; a part 6.8275, to a cent 6.83.
func TestMargin(t *testing.T) {
	r := rates()
	r.MarkUp, r.Margin, r.Step = nil, num(40), nil
	q := quote.Of(tags(), r)
	is(t, "6.83", q.Each)
	is(t, "163.92", q.Price)
}

// One part under the minimum charge.
func TestMinimum(t *testing.T) {
	r := rates()
	r.Minimum, r.Spoilage = num(60), nil
	w := tags()
	w.Quantity, w.FirstArticle = 1, false
	q := quote.Of(w, r)
	is(t, "60", q.Price)
	is(t, "60", q.Each)
	assert.True(t, q.AtMinimum)
	assert.Equal(t, 1, q.Made)
}

func TestUnwatched(t *testing.T) {
	r := rates()
	r.Unwatched = yes()
	q := quote.Of(tags(), r)
	is(t, "4.50", q.Costs[2].Amount) // 540 s of loading
}

// Of labour alone an order costs nobody's time where no rate names any.
func TestNothingTakesTimeUntold(t *testing.T) {
	q := quote.Of(quote.Work{Machine: "a", Quantity: 10, Pockets: 2}, quote.Rates{Labour: num(60)})
	assert.Empty(t, q.Costs)
	assert.Equal(t, 5, q.Loads)
	q = quote.Of(quote.Work{Machine: "a", Quantity: 10, Pockets: 2}, quote.Rates{Labour: num(60), LoadSetUp: num(3)})
	is(t, "15.00", q.Cost) // five loads of three minutes
}

func TestNoRatesAtAll(t *testing.T) {
	q := quote.Of(tags(), quote.Rates{})
	assert.True(t, q.NoRate)
	assert.Empty(t, q.Costs)
	is(t, "0", q.Total)
	assert.Zero(t, quote.Of(quote.Work{}, rates()).Total.Sign())
}

func TestOver(t *testing.T) {
	base := rates()
	r := quote.Rates{Blank: num(3), Margin: num(30)}.Over(base)
	assert.Equal(t, num(3), r.Blank)
	assert.Equal(t, num(30), r.Labour)
	assert.Nil(t, r.MarkUp, "the job's margin stands in place of the shop's mark-up")
	assert.Equal(t, num(30), r.Margin)
	assert.Nil(t, r.Problem())
	r = quote.Rates{MarkUp: num(10)}.Over(quote.Rates{Margin: num(30)})
	assert.Nil(t, r.Margin, "and the other way round")
	assert.Equal(t, num(10), r.MarkUp)
	assert.Equal(t, num(40), quote.Rates{}.Over(base).MarkUp)
	assert.Equal(t, num(30), quote.Rates{}.Over(quote.Rates{Margin: num(30)}).Margin)
	r.Margin = num(30)
	assert.Equal(t, "margin_percent", r.Problem().Key)
	base.Breaks = append(base.Breaks, quote.Break{From: 20, Percent: 1})
	assert.Equal(t, "price_break", base.Problem().Key)
}

func TestSpoiledPartsAreWhole(t *testing.T) {
	for _, tt := range []struct {
		quantity int
		percent  float64
		want     int
	}{{100, 3, 103}, {100, 2.9, 103}, {10, 0.1, 11}, {10, 0, 10}, {200, 0.5, 201}, {10100, 1, 10201}} {
		assert.Equal(t, tt.want, quote.Work{Quantity: tt.quantity}.Made(tt.percent), "%+v", tt)
	}
}

// Either side of each bound of what a price may be.
func TestRatesKeepTheirBounds(t *testing.T) {
	for _, tt := range []struct {
		r    quote.Rates
		want string
	}{
		{quote.Rates{Machine: map[string]float64{"a": 0, "b": 1e6}}, ""},
		{quote.Rates{Machine: map[string]float64{"a": -0.01}}, "a: -0.01 is out of range: use 0 to 1000000"},
		{quote.Rates{Machine: map[string]float64{"a": 1e6 + 1}}, "a: 1.000001e+06 is out of range: use 0 to 1000000"},
		{quote.Rates{Breaks: []quote.Break{{From: 1, Percent: 0}, {From: 2, Percent: 99.9}}}, ""},
		{quote.Rates{Breaks: []quote.Break{{From: 0, Percent: 1}}}, "a price break from 0 parts: use 1 or more"},
		{quote.Rates{Breaks: []quote.Break{{From: 1, Percent: 100}}}, "100 percent less: use 0 to less than 100"},
		{quote.Rates{Breaks: []quote.Break{{From: 1, Percent: -1}}}, "-1 percent less: use 0 to less than 100"},
		{quote.Rates{Breaks: []quote.Break{{From: 1}, {From: 3}, {From: 3}}}, "two price breaks from 3 parts"},
	} {
		p := tt.r.Problem()
		if tt.want == "" {
			assert.Nil(t, p)
		} else {
			assert.Equal(t, tt.want, p.Problem)
		}
	}
}

// The machine's own hour, that of any, or none that is known.
func TestHoursOfMachines(t *testing.T) {
	w := quote.Work{Machine: "mine", Quantity: 1, PartS: 1800}
	q := quote.Of(w, quote.Rates{Machine: map[string]float64{"mine": 40}, AnyHour: num(60)})
	is(t, "20", q.Cost)
	assert.False(t, q.NoRate)
	w.Machine = "other"
	q = quote.Of(w, quote.Rates{Machine: map[string]float64{"mine": 40}, AnyHour: num(60)})
	is(t, "30", q.Cost)
	assert.False(t, q.NoRate)
	q = quote.Of(w, quote.Rates{Machine: map[string]float64{"mine": 40}})
	is(t, "0", q.Cost)
	assert.True(t, q.NoRate)
	q = quote.Of(w, quote.Rates{AnyHour: num(0)})
	assert.False(t, q.NoRate, "an hour that costs nothing is known")
}

// Loads are full but for the last.
func TestLoadsByHand(t *testing.T) {
	for _, tt := range [][3]int{{12, 12, 1}, {12, 13, 2}, {12, 24, 2}, {12, 25, 3}, {12, 1, 1}, {0, 3, 3}, {1, 3, 3},
		{5, 0, 0}} {
		assert.Equal(t, tt[2], quote.Work{Pockets: tt[0]}.Loads(tt[1]), "%v", tt)
	}
}

// A quantity at the edge of a price break, and between two.
func TestPriceBreaks(t *testing.T) {
	r := quote.Rates{Blank: num(1), Breaks: []quote.Break{{From: 100, Percent: 15}, {From: 20, Percent: 5}, {From: 50,
		Percent: 10}}}
	for n, want := range map[int]float64{19: 0, 20: 5, 49: 5, 50: 10, 99: 10, 100: 15, 1000: 15} {
		q := quote.Of(quote.Work{Quantity: n}, r)
		assert.Equal(t, want, q.BreakPercent, "%d parts", n)
	}
}

// The minimum charge holds below it alone, and so does rounding up.
func TestEdgesOfAPrice(t *testing.T) {
	w := quote.Work{Quantity: 2}
	q := quote.Of(w, quote.Rates{Blank: num(5), Minimum: num(10)})
	assert.False(t, q.AtMinimum)
	is(t, "10", q.Price)
	q = quote.Of(w, quote.Rates{Blank: num(5), Minimum: num(10.01)})
	assert.True(t, q.AtMinimum)
	is(t, "10.01", q.Price)
	is(t, "5.01", q.Each) // 5.005, half a cent goes up
	is(t, "6", quote.Of(w, quote.Rates{Blank: num(5.5), Step: num(1)}).Each)
	is(t, "5", quote.Of(w, quote.Rates{Blank: num(5.49), Step: num(1)}).Each)
	is(t, "5", quote.Of(w, quote.Rates{Blank: num(5), Step: num(1), Upwards: yes()}).Each)
	is(t, "6", quote.Of(w, quote.Rates{Blank: num(5.01), Step: num(1), Upwards: yes()}).Each)
	is(t, "50", quote.Of(w, quote.Rates{Blank: num(5), Margin: num(90)}).Each) // 5 is a tenth of it
	is(t, "5", quote.Of(w, quote.Rates{Blank: num(5), Margin: num(100)}).Each) // none is possible
	is(t, "7.5", quote.Of(w, quote.Rates{Blank: num(5), MarkUp: num(50)}).Each)
}
