package order

import "furrow/cmd/furrow/internal/sheet"

// SheetSettings are what the sheet says of how each group is marked.
func (o *Order) SheetSettings() []sheet.Setting { return o.settings() }

// LoadPicture is that of the sheet.
func (o *Order) LoadPicture(m Made) (sheet.Picture, error) { return o.loadPicture(m) }
