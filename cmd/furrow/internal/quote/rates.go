package quote

import (
	"fmt"
	"reflect"
	"slices"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
)

// Rates is what the shop's time and material cost. The toml tags are the keys of
// rates.toml and of a job file's [price], which wins over it.
type Rates struct {
	Currency  *string            `toml:"currency"`
	Decimals  *value.Number      `toml:"decimals" range:"0 to 4"`
	Machine   map[string]float64 `toml:"machine_hour,omitempty"`
	AnyHour   *value.Number      `toml:"any_machine_hour" range:"0 to 1000000"`
	Labour    *value.Number      `toml:"labour_hour" range:"0 to 1000000"`
	SetUp     *value.Number      `toml:"setup_min" range:"0 to 100000 min"`
	LoadSetUp *value.Number      `toml:"load_setup_min" range:"0 to 100000 min"`
	Loading   *value.Number      `toml:"loading_s" range:"0 to 86400 s"`
	Unwatched *bool              `toml:"unwatched"`
	Artwork   *value.Number      `toml:"artwork_min" range:"0 to 100000 min"`
	Blank     *value.Number      `toml:"blank_each" range:"0 to 1000000"`
	Spoilage  *value.Number      `toml:"spoilage_percent" range:"0 to 100 percent"`
	MarkUp    *value.Number      `toml:"mark_up_percent" range:"0 to 10000 percent"`
	Margin    *value.Number      `toml:"margin_percent" range:"0 to 99 percent"`
	Minimum   *value.Number      `toml:"minimum" range:"0 to 1000000000"`
	Step      *value.Number      `toml:"round_to" range:"0 to 1000000"`
	Upwards   *bool              `toml:"round_up"`
	TaxName   *string            `toml:"tax_name"`
	Tax       *value.Number      `toml:"tax_percent" range:"0 to 1000 percent"`
	Breaks    []Break            `toml:"price_break,omitempty"`
	HoursADay *value.Number      `toml:"hours_a_day" range:"0.1 to 24 h"`
	DaysAWeek *value.Number      `toml:"days_a_week" range:"1 to 7"`
	Shop      *string            `toml:"shop_name"`
	Address   []string           `toml:"shop_address,omitempty"`
	Terms     *string            `toml:"terms"`
	Delivery  *string            `toml:"delivery"`
}

// Unnamed lists the keys that most costs rest on and that nobody gave: without them a price
// has no labour, no loading, no material or no profit in it.
func (r Rates) Unnamed() (keys []string) {
	for _, k := range []struct {
		key   string
		given bool
	}{
		{"labour_hour", r.Labour != nil}, {"loading_s", r.Loading != nil}, {"blank_each", r.Blank != nil},
		{"mark_up_percent", r.MarkUp != nil || r.Margin != nil},
	} {
		if !k.given {
			keys = append(keys, k.key)
		}
	}
	return keys
}

// Comment says what a key is.
func (Rates) Comment(key string) string { return rateComments[key] }

var rateComments = map[string]string{
	"currency":         "as it stands behind amounts: EUR",
	"decimals":         "of the currency's smallest unit; left out: 2",
	"machine_hour":     "an hour of each machine, by its id",
	"any_machine_hour": "an hour of a machine that machine_hour does not name",
	"labour_hour":      "an hour of a person",
	"setup_min":        "a person's minutes to prepare an order",
	"load_setup_min":   "a person's minutes for each load, besides the parts' own",
	"loading_s":        "seconds to take one part out and put the next one in",
	"unwatched":        "nobody is paid for standing by while the machine marks; left out: false, a person stands by",
	"artwork_min":      "a person's minutes for the artwork of an order",
	"blank_each":       "material of one blank",
	"spoilage_percent": "of the parts, made besides, in whole parts upwards",
	"mark_up_percent":  "added to the cost, in percent of the cost",
	"margin_percent":   "of the price that is no cost, in percent of the price; instead of mark_up_percent",
	"minimum":          "least price of an order",
	"round_to":         "the price of one part is a multiple of this; left out: the smallest unit",
	"round_up":         "round the price of one part up, not to the nearest",
	"tax_name":         "as it stands on the quote",
	"tax_percent":      "added to the price",
	"price_break":      "less for many: from so many parts on, so many percent less",
	"hours_a_day":      "that the shop works, to tell which day an order is done",
	"days_a_week":      "that the shop works, from Monday on; left out: 5",
	"shop_name":        "who sends the customer's quote: its first line",
	"shop_address":     "the lines below it: street, town, telephone, tax number",
	"terms":            "of payment, as they stand on the quote: 14 days net",
	"delivery":         "as it stands on the quote: collected, or sent at cost",
}

// Break is a price break.
type Break struct {
	From    int     `toml:"from" comment:"parts"`
	Percent float64 `toml:"percent" comment:"less, in percent of the price"`
}

// Over returns the rates with what they leave out taken from base.
func (r Rates) Over(base Rates) Rates {
	own, under := reflect.ValueOf(&r).Elem(), reflect.ValueOf(base)
	for i := range own.NumField() {
		if own.Field(i).IsNil() {
			own.Field(i).Set(under.Field(i))
		}
	}
	// One of the two says how the price follows from the cost.
	if r.MarkUp != nil && r.Margin != nil && base.MarkUp != r.MarkUp {
		r.Margin = nil
	} else if r.MarkUp != nil && r.Margin != nil && base.Margin != r.Margin {
		r.MarkUp = nil
	}
	return r
}

// Problem says which key is wrong, if any is.
func (r Rates) Problem() *settings.KeyProblem {
	if r.MarkUp != nil && r.Margin != nil {
		return &settings.KeyProblem{Key: "margin_percent",
			Problem: "a mark-up and a margin at once: leave one of them out"}
	}
	for id, hour := range r.Machine {
		if !(hour >= 0 && hour <= 1e6) {
			return &settings.KeyProblem{Key: "machine_hour",
				Problem: fmt.Sprintf("%s: %g is out of range: use 0 to 1000000", id, hour)}
		}
	}
	for i, b := range r.Breaks {
		switch {
		case b.From < 1:
			return &settings.KeyProblem{Key: "price_break",
				Problem: fmt.Sprintf("a price break from %d parts: use 1 or more", b.From)}
		case !(b.Percent >= 0 && b.Percent < 100):
			return &settings.KeyProblem{Key: "price_break",
				Problem: fmt.Sprintf("%g percent less: use 0 to less than 100", b.Percent)}
		case slices.ContainsFunc(r.Breaks[:i], func(o Break) bool { return o.From == b.From }):
			return &settings.KeyProblem{Key: "price_break",
				Problem: fmt.Sprintf("two price breaks from %d parts", b.From)}
		}
	}
	return nil
}

// hour returns what an hour of a machine costs, and whether the rates say so.
func (r Rates) hour(id string) (float64, bool) {
	if h, ok := r.Machine[id]; ok {
		return h, true
	}
	return float64(value.Or(r.AnyHour, 0)), r.AnyHour != nil
}
