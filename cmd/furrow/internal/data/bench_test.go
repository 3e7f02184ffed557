package data_test

import (
	"fmt"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/data"
)

// BenchmarkXLSX reads 5,000 rows of three cells.
func BenchmarkXLSX(b *testing.B) {
	var rows strings.Builder
	for i := range 5000 {
		fmt.Fprintf(&rows, `<row r="%d"><c r="A%[1]d" t="inlineStr"><is><t>Acer</t></is></c><c r="B%[1]d" s="1">`+
			`<v>%[1]d</v></c>`+
			`<c r="C%[1]d"><v>1</v></c></row>`, i+1)
	}
	content := pack(map[string]string{"Tags": rows.String()})
	for b.Loop() {
		if _, err := data.Read("x.xlsx", content, data.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
