package quote

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"reflect"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
)

// File names the file of the shop's rates in its settings folder.
func File() (string, error) { return settings.Folder("rates.toml") }

// Read returns the shop's rates; none where there is no file of them.
func Read() (Rates, error) {
	name, err := File()
	if err != nil {
		return Rates{}, err
	}
	data, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return Rates{}, nil
	}
	if err != nil {
		return Rates{}, fault.Unreadable(err)
	}
	return Parse(name, data)
}

// Parse reads rates.
func Parse(name string, data []byte) (r Rates, err error) {
	if err := settings.Decode(name, data, &r); err != nil {
		return Rates{}, err
	}
	all := append(settings.CheckValues(reflect.ValueOf(r), ""), r.Problem())
	if err := settings.Refused(name, data, all...); err != nil {
		return Rates{}, err
	}
	return r, nil
}

// Empty returns a file of rates to fill in.
func Empty() ([]byte, error) {
	b := bytes.NewBufferString("# What an hour, a blank and an order cost in your shop. Keep it as " +
		"furrow/rates.toml in\n" +
		"# your settings folder; a job's [price] may hold any of the keys in place of these.\n\n")
	err := settings.WriteCommented(b, Rates{})
	return b.Bytes(), err
}
