package machine

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
)

// Hash identifies what in a profile alters the marks or their safety: twelve hex digits
// of a SHA-256 over its keys and values. A file carries it, so that it is not run by
// mistake with another profile. Keys that are left out do not count, so that a new one
// changes no hash, nor do those that alter no more than the time (tag hash:"-").
func (p Profile) Hash() string {
	h := sha256.New()
	hashed(reflect.ValueOf(p), "", func(key string, value any) {
		b, _ := json.Marshal(value) // fails for NaN and infinity, which Validate refuses
		fmt.Fprintf(h, "%s=%s\n", key, b)
	})
	return hex.EncodeToString(h.Sum(nil)[:6])
}

// hashed passes on every value that is not zero, under its key in the file.
func hashed(v reflect.Value, key string, add func(key string, value any)) {
	switch {
	case v.IsZero():
	case v.Kind() == reflect.Pointer:
		hashed(v.Elem(), key, add)
	case v.Kind() != reflect.Struct:
		add(key, v.Interface())
	default:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			if f.Tag.Get("hash") == "-" {
				continue
			}
			name, _, _ := strings.Cut(f.Tag.Get("toml"), ",")
			hashed(v.Field(i), key+"."+name, add)
		}
	}
}
