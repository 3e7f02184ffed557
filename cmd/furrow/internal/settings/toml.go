package settings

import (
	"bytes"
	"io"
	"os"

	"furrow/cmd/furrow/internal/fault"
)

// maxTOML bounds the size of a profile, recipe or job file, bytes.
const maxTOML = 1 << 20

// read reads a strict TOML file into v: an unknown key is an error with its
// line.
func read(name string, v any) ([]byte, error) {
	data, err := ReadFile(name)
	if err != nil {
		return nil, err
	}
	return data, Decode(name, data, v)
}

// ReadFile reads all of a settings file that is named.
func ReadFile(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, fault.Unreadable(err)
	}
	defer f.Close()
	return ReadAll(name, f)
}

// ReadAll reads all of a settings file.
func ReadAll(name string, r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxTOML+1)) // a device tells no size
	if err != nil {
		return nil, fault.Unreadable(err)
	}
	if len(data) > maxTOML {
		return nil, fault.Usagef("%s: more than %d bytes are too many for a settings file", name, maxTOML)
	}
	return bytes.TrimPrefix(data, []byte("\ufeff")), nil // some editors write one
}
