package value

import "github.com/pelletier/go-toml/v2"

// Date is a day, written 2026-12-18 (ISO 8601).
type Date = toml.LocalDate
