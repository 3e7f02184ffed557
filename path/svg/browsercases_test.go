package svg_test

// browserCases are small documents on a page of 100 x 100 px, each about one thing;
// Chromium must paint the same.
var browserCases = map[string]string{
	"text on a path":       `<defs><path id="p" d="M10 60C30 10 70 10 90 60"/></defs><text font-family="DejaVu Sans" font-size="12"><textPath href="#p">Along a bend</textPath></text>`,
	"start offset":         `<path id="p" d="M5 30H95" transform="translate(0 10)"/><text font-family="DejaVu Sans" font-size="14"><textPath href="#p" startOffset="25%">Elm tree</textPath></text>`,
	"start offset, middle": `<path id="p" d="M50 50m-30 0a30 30 0 0 1 60 0" fill="none" stroke="red"/><text font-family="DejaVu Sans" font-size="11" text-anchor="middle"><textPath href="#p" startOffset="50%">round top</textPath></text>`,
	"path ends":            `<path id="p" d="M10 50H60" fill="none"/><text font-family="DejaVu Sans" font-size="16"><textPath href="#p">Too long for it</textPath></text>`,
	"dy on a path":         `<path id="p" d="M10 60Q50 20 90 60" fill="none"/><text font-family="DejaVu Sans" font-size="14" dy="10"><textPath href="#p" dy="5">below it</textPath></text>`,
	"two sizes on a path":  `<path id="p" d="M10 60L90 40" fill="none"/><text font-family="DejaVu Sans" font-size="12"><textPath href="#p">ab<tspan font-size="24" fill="blue">CD</tspan>ef</textPath></text>`,
	"text length":          `<g font-family="DejaVu Sans" font-size="14"><text x="5" y="20" textLength="90">Spaced</text><text x="5" y="45" textLength="30">Narrowed</text><text x="5" y="70" textLength="90" lengthAdjust="spacingAndGlyphs">Wide</text><text x="50" y="95" textLength="80" text-anchor="middle">middle</text></g>`,
	"dominant baseline":    `<g font-family="DejaVu Sans" font-size="14"><path d="M0 20H100M0 50H100M0 80H100" stroke="#c00" stroke-width=".5"/><text x="2" y="20" dominant-baseline="middle">mid</text><text x="50" y="20" dominant-baseline="central">cent</text><text x="2" y="50" dominant-baseline="hanging">hang</text><text x="50" y="50" dominant-baseline="text-before-edge">bef</text><text x="2" y="80" dominant-baseline="text-after-edge">aft</text><text x="50" y="80" dominant-baseline="mathematical">math</text></g>`,
	"baseline shift":       `<text font-family="DejaVu Sans" font-size="20" x="5" y="50">x<tspan baseline-shift="8">2<tspan baseline-shift="-20%">n</tspan></tspan>y<tspan baseline-shift="-5">i</tspan></text>`,
	"small caps":           `<text font-family="DejaVu Sans" font-size="20" x="2" y="50" font-variant="small-caps">Lime Oak</text>`,
	"transformed":          `<g font-family="DejaVu Sans" font-size="14"><text x="2" y="20" style="text-transform:uppercase">linden</text><text x="2" y="50" style="text-transform:capitalize">oak and ash</text><text x="2" y="80" style="text-transform:lowercase">ELM</text></g>`,
	"right to left":        `<g font-family="DejaVu Sans" font-size="14"><text x="5" y="20">ab אבג 12 cd</text><text x="95" y="50" direction="rtl">אבג def</text><text x="50" y="80" direction="rtl" text-anchor="middle">אב, (12)</text></g>`,
	"letter spacing":       `<g font-family="DejaVu Sans" font-size="14"><text x="5" y="20" letter-spacing="3">fiAVo</text><text x="5" y="50" word-spacing="10">a b c</text><text x="95" y="80" text-anchor="end" letter-spacing="2">ending</text></g>`,
	"rotated letters":      `<text font-family="DejaVu Sans" font-size="20" x="10 30 50" y="30" rotate="0 45 90">abc</text><text font-family="DejaVu Sans" font-size="20" x="10" y="80" rotate="20">turned</text>`,
	"relative moves":       `<text font-family="DejaVu Sans" font-size="16" x="5" y="30" dx="0 4 4" dy="0 5 5">steps down</text>`,
	"text in box units":    `<defs><linearGradient id="g"><stop offset=".5" stop-color="red"/><stop offset=".5" stop-color="blue"/></linearGradient></defs><text font-family="DejaVu Sans" font-size="30" x="5" y="60" fill="url(#g)">Ivy o</text>`,
	"stroked text":         `<text font-family="DejaVu Sans" font-size="40" x="5" y="60" fill="none" stroke="navy" stroke-width="2">Bay</text>`,
	"oblique":              `<text font-family="DejaVu Sans" font-size="30" x="5" y="60" font-style="italic">Bay H</text>`,
}
