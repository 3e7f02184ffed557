package product_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/product"
)

func TestJSONNumbersAreRoundedToWhatTheyMean(t *testing.T) {
	var b strings.Builder
	require.NoError(t, product.WriteJSON(&b, map[string]any{
		"dose_j_cm2": 112.00000000000001, "seconds": 123456.123456789, "lines": 12345678901,
		"bounds_mm": []float64{0.1 + 0.2, -1e-12, 60}, "ratio": 2.0 / 3, "name": "1.00000000001e5",
		"long_s": 0.12345678949, "mixed_mm": []any{"a", 0.12345678},
		"note": `a "key": 1.00000000001 <&>`, "small": 1.25e-7, "wait_s": 1e-9,
	}))
	require.Equal(t, `{
  "bounds_mm": [
    0.3,
    0,
    60
  ],
  "dose_j_cm2": 112,
  "lines": 12345678901,
  "long_s": 0.123456789,
  "mixed_mm": [
    "a",
    0.123457
  ],
  "name": "1.00000000001e5",
  "note": "a \"key\": 1.00000000001 <&>",
  "ratio": 0.6666667,
  "seconds": 123456.123456789,
  "small": 0.000000125,
  "wait_s": 0.000000001
}
`, b.String())
}

// A number too large to have decimals stays as it is.
func TestLargeNumbers(t *testing.T) {
	var b strings.Builder
	require.NoError(t, product.WriteJSON(&b, map[string]any{"a": 1.5e15, "b": 1e22, "c": 0.5e15, "d_mm": -0.0000001,
		"e": 1e15 + 0.5, "f": 1.00000000001}))
	require.Equal(t, "{\n  \"a\": 1500000000000000,\n  \"b\": 1e+22,\n  \"c\": 500000000000000,\n"+
		"  \"d_mm\": 0,\n  \"e\": 1000000000000000.5,\n  \"f\": 1\n}\n", b.String())
	require.Error(t, product.WriteJSON(&b, func() {}))
}
