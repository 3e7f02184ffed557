package order

import "furrow/cmd/furrow/internal/sheet"

// SheetSettings are what the sheet says of how each group is marked.
func (o *Order) SheetSettings() []sheet.Setting { return o.settings() }
