package svg_test

// browserCases are small documents on a page of 100 x 100 px, each about one thing;
// Chromium must paint the same.
var browserCases = map[string]string{
	"text on a path": `<defs><path id="p" d="M10 60C30 10 70 10 90 60"/></defs><text font-family="DejaVu ` +
		`Sans" font-size="12"><textPath href="#p">Along a bend</textPath></text>`,
	"start offset": `<path id="p" d="M5 30H95" transform="translate(0 10)"/><text font-family="DejaVu Sans" ` +
		`font-size="14"><textPath href="#p" startOffset="25%">Elm tree</textPath></text>`,
	"start offset, middle": `<path id="p" d="M50 50m-30 0a30 30 0 0 1 60 0" fill="none" stroke="red"/><text ` +
		`font-family="DejaVu Sans" font-size="11" text-anchor="middle"><textPath href="#p" startOffset="50%">round ` +
		`top</textPath></text>`,
	"path ends": `<path id="p" d="M10 50H60" fill="none"/><text font-family="DejaVu Sans" font-size="16">` +
		`<textPath href="#p">Too long for it</textPath></text>`,
	"dy on a path": `<path id="p" d="M10 60Q50 20 90 60" fill="none"/><text font-family="DejaVu Sans" ` +
		`font-size="14" dy="10"><textPath href="#p" dy="5">below it</textPath></text>`,
	"two sizes on a path": `<path id="p" d="M10 60L90 40" fill="none"/><text font-family="DejaVu Sans" ` +
		`font-size="12"><textPath href="#p">ab<tspan font-size="24" fill="blue">CD</tspan>ef</textPath></text>`,
	"text length": `<g font-family="DejaVu Sans" font-size="14"><text x="5" y="20" ` +
		`textLength="90">Spaced</text><text x="5" y="45" textLength="30">Narrowed</text><text x="5" y="70" ` +
		`textLength="90" lengthAdjust="spacingAndGlyphs">Wide</text><text x="50" y="95" textLength="80" ` +
		`text-anchor="middle">middle</text></g>`,
	"dominant baseline": `<g font-family="DejaVu Sans" font-size="14"><path d="M0 20H100M0 50H100M0 80H100" ` +
		`stroke="#c00" stroke-width=".5"/><text x="2" y="20" dominant-baseline="middle">mid</text><text x="50" ` +
		`y="20" dominant-baseline="central">cent</text><text x="2" y="50" dominant-baseline="hanging">hang</text>` +
		`<text x="50" y="50" dominant-baseline="text-before-edge">bef</text><text x="2" y="80" ` +
		`dominant-baseline="text-after-edge">aft</text><text x="50" y="80" ` +
		`dominant-baseline="mathematical">math</text></g>`,
	"baseline shift": `<text font-family="DejaVu Sans" font-size="20" x="5" y="50">x<tspan ` +
		`baseline-shift="8">2<tspan baseline-shift="-20%">n</tspan></tspan>y<tspan baseline-shift="-5">i</tspan>` +
		`</text>`,
	"small caps": `<text font-family="DejaVu Sans" font-size="20" x="2" y="50" ` +
		`font-variant="small-caps">Lime Oak</text>`,
	"transformed": `<g font-family="DejaVu Sans" font-size="14"><text x="2" y="20" ` +
		`style="text-transform:uppercase">linden</text><text x="2" y="50" style="text-transform:capitalize">oak and ` +
		`ash</text><text x="2" y="80" style="text-transform:lowercase">ELM</text></g>`,
	"right to left": `<g font-family="DejaVu Sans" font-size="14"><text x="5" y="20">ab אבג 12 cd</text><text ` +
		`x="95" y="50" direction="rtl">אבג def</text><text x="50" y="80" direction="rtl" text-anchor="middle">אב, ` +
		`(12)</text></g>`,
	"letter spacing": `<g font-family="DejaVu Sans" font-size="14"><text x="5" y="20" ` +
		`letter-spacing="3">fiAVo</text><text x="5" y="50" word-spacing="10">a b c</text><text x="95" y="80" ` +
		`text-anchor="end" letter-spacing="2">ending</text></g>`,
	"rotated letters": `<text font-family="DejaVu Sans" font-size="20" x="10 30 50" y="30" rotate="0 45 ` +
		`90">abc</text><text font-family="DejaVu Sans" font-size="20" x="10" y="80" rotate="20">turned</text>`,
	"relative moves": `<text font-family="DejaVu Sans" font-size="16" x="5" y="30" dx="0 4 4" dy="0 5 5">steps ` +
		`down</text>`,
	"text in box units": `<defs><linearGradient id="g"><stop offset=".5" stop-color="red"/><stop offset=".5" ` +
		`stop-color="blue"/></linearGradient></defs><text font-family="DejaVu Sans" font-size="30" x="5" y="60" ` +
		`fill="url(#g)">Ivy o</text>`,
	"stroked text": `<text font-family="DejaVu Sans" font-size="40" x="5" y="60" fill="none" stroke="navy" ` +
		`stroke-width="2">Bay</text>`,
	"oblique": `<text font-family="DejaVu Sans" font-size="30" x="5" y="60" font-style="italic">Bay H</text>`,

	"variables": `<style>:root{--ink:blue;--w:4px} .a{--ink:red} ` +
		`rect{fill:var(--ink);stroke:var(--line,green);stroke-width:var(--w)} circle{fill:var(--none)}</style><rect ` +
		`x="5" y="5" width="30" height="30"/><g class="a"><rect x="50" y="5" width="30" height="30"/></g><circle ` +
		`cx="25" cy="70" r="20" style="stroke:var(--none, var(--ink))"/><rect x="60" y="60" width="20" height="20" ` +
		`style="--ink:orange"/>`,
	"calculations": `<style>rect{width:calc(20% + 10px);height:calc((2em - 2px) * 1.5)} ` +
		`.b{width:min(50%,30px);x:max(40px, 10%);y:clamp(10px, 60%, 50px)}</style><g font-size="10"><rect/><rect ` +
		`class="b" fill="red"/><circle cx="80" cy="80" style="r:calc(5px + 5px)" fill-opacity="calc(1 / 2)"/></g>`,
	"media": `<style>rect{fill:green}@media print{rect{fill:red}}@media screen and ` +
		`(prefers-color-scheme:light){rect{stroke:blue;stroke-width:6}}@media ` +
		`(prefers-color-scheme:dark){rect{fill:black}}@media all,print{rect{width:60px}}@supports ` +
		`(fill:red){rect{height:40px}}</style><rect y="20"/>`,
	"is, where, not": `<style>:is(rect,circle).a{fill:red} :where(g) rect{fill:blue} ` +
		`rect:not(.a,.b){stroke:green;stroke-width:5} .c:is(rect, .d){fill:orange} g :is(.e, ` +
		`ellipse){fill:purple}</style><rect class="a" width="20" height="20"/><g><rect class="b" x="30" width="20" ` +
		`height="20"/><rect x="60" y="5" width="20" height="20"/><rect class="c" y="40" x="5" width="20" ` +
		`height="20"/><circle class="a" cx="50" cy="50" r="12"/><ellipse cx="80" cy="50" rx="15" ry="8"/></g>`,
	"clip to basic shapes": `<rect width="30" height="30" style="clip-path:circle(40%)"/><rect x="35" width="30" ` +
		`height="30" fill="red" style="clip-path:ellipse(10px 40% at 30% 50%)"/><rect x="70" width="30" height="30" ` +
		`fill="blue" style="clip-path:inset(10% 5px 20% 0 round 6px)"/><rect y="40" width="40" height="40" ` +
		`fill="green" style="clip-path:polygon(50% 0,100% 100%,0 80%)"/><rect x="50" y="40" width="40" height="40" ` +
		`fill="purple" style="clip-path:polygon(evenodd,0 0,100% 0,100% 100%,0 100%,0 0,20% 20%,80% 20%,80% 80%,20% ` +
		`80%,20% 20%)"/>`,
	"clip to a path": `<rect x="10" y="10" width="60" height="60" style="clip-path:path('M0 0H60L30 60z')"/>`,
	"clip in a view box": `<rect x="10" y="10" width="60" height="60" style="clip-path:circle(30% at 50% 50%) ` +
		`view-box"/>`,
	"transform of an svg": `<svg x="20" y="20" width="40" height="40" viewBox="0 0 10 10" transform="rotate(20)">` +
		`<rect width="10" height="10" fill="red"/><circle r="4" cx="5" cy="5"/></svg>`,
	"transform boxes": `<g style="transform-box:fill-box"><rect x="10" y="10" width="30" height="20" ` +
		`style="transform-box:fill-box;transform-origin:center;transform:rotate(45deg)"/><rect x="60" y="10" ` +
		`width="20" height="20" fill="red" style="transform-box:fill-box;transform-origin:100% ` +
		`100%;transform:scale(1.5)"/><rect x="10" y="60" width="20" height="20" fill="blue" ` +
		`style="transform-origin:20px 70px;transform:rotate(30deg)"/><rect x="60" y="60" width="20" height="20" ` +
		`fill="green" style="transform-box:fill-box;transform:translate(50%,25%)"/></g>`,
	"transform of a stroke": `<rect x="30" y="30" width="30" height="20" stroke="red" stroke-width="10" ` +
		`style="transform-box:stroke-box;transform-origin:0 0;transform:rotate(30deg)"/>`,
	"moves as properties": `<rect x="10" y="10" width="20" height="20" style="translate:30px ` +
		`10px;rotate:20deg;scale:1.5"/><rect width="10" height="10" fill="red" ` +
		`style="transform:translate(50px,80px);scale:2 1"/>`,
	"text as a box": `<text x="20" y="40" font-family="DejaVu Sans" font-size="20" ` +
		`style="transform-box:fill-box;transform-origin:center;transform:rotate(90deg)">turn</text>`,
	"clip of a box": `<clipPath id="c" clipPathUnits="objectBoundingBox" transform="translate(.1 0) ` +
		`rotate(10)"><rect width=".6" height=".6" transform="scale(1.2 1)"/><circle cx=".8" cy=".8" r=".2"/>` +
		`</clipPath><rect x="10" y="10" width="80" height="60" clip-path="url(#c)"/>`,
	"drawing in an image": `<image x="10" y="10" width="60" height="40" href="data:image/svg+xml,%3Csvg ` +
		`xmlns='http://www.w3.org/2000/svg' viewBox='0 0 10 10'%3E%3Crect id='a' width='10' height='10' ` +
		`fill='red'/%3E%3Ccircle cx='5' cy='5' r='3'/%3E%3C/svg%3E"/><g opacity=".5" transform="rotate(10)"><image ` +
		`x="30" y="60" width="30" height="30" preserveAspectRatio="none" ` +
		`href="data:image/svg+xml;base64,PHN2ZyB4bWxucz0iaHR0cDovL3d3dy53My5vcmcvMjAwMC9zdmciIHdpZHRoPSIyMCIgaGVpZ2h0` +
		`PSIxMCI+PHN0eWxlPnJlY3R7ZmlsbDpibHVlfTwvc3R5bGU+PHJlY3Qgd2lkdGg9IjE1IiBoZWlnaHQ9IjUiLz48L3N2Zz4="/></g>`,
	"escaped ids": `<defs><rect id="a b" width="30" height="30"/><linearGradient id="ü"><stop ` +
		`stop-color="red"/></linearGradient></defs><use href="#a%20b" x="10" y="10" fill="blue"/><rect x="50" ` +
		`y="50" width="30" height="30" fill="url(#%C3%BC)"/>`,
	"context paint": `<marker id="m" markerWidth="6" markerHeight="6" refX="3" refY="3"><circle cx="3" ` +
		`cy="3" r="3" fill="context-stroke" stroke="context-fill"/></marker><path d="M20 20H60L80 70" fill="orange" ` +
		`stroke="blue" stroke-width="3" marker-mid="url(#m)" marker-end="url(#m)"/><rect id="r" x="5" y="70" ` +
		`width="20" height="20" fill="context-stroke" stroke="context-fill"/><use href="#r" x="25" stroke="red" ` +
		`stroke-width="4" fill="green"/>`,
	"overflow of a marker": `<marker id="m" markerWidth="3" markerHeight="3" style="overflow:visible"><circle r="4" ` +
		`fill="red"/></marker><path d="M20 20L60 60" stroke="black" stroke-width="3" marker-start="url(#m)" ` +
		`marker-end="url(#m)"/>`,

	"hard shadow": `<filter id="f"><feDropShadow dx="12" dy="8" stdDeviation="0" flood-color="red" ` +
		`flood-opacity=".5"/></filter><g filter="url(#f)"><rect x="10" y="10" width="60" height="50"/><circle ` +
		`cx="40" cy="60" r="15" fill="blue"/></g>`,
	"turned and enlarged": `<filter id="f"><feDropShadow dx="6" dy="0" stdDeviation="0" flood-color="red"/></filter>` +
		`<g transform="translate(50 20) rotate(90) scale(1.5 1)"><rect width="30" height="20" filter="url(#f)"/></g>`,
	"inverted": `<rect x="10" y="10" width="40" height="50" fill="#8c4" style="filter:invert(1)"/><rect ` +
		`x="50" y="10" width="40" height="50" fill="#8c4" style="filter:invert(30%) contrast(.5) opacity(.5)"/>` +
		`<rect x="10" y="60" width="40" height="30" fill="#8c4" style="filter:hue-rotate(90deg) saturate(2)"/>`,
	"grey by function": `<rect x="10" y="10" width="40" height="50" fill="#8c4" style="filter:grayscale(1)"/>` +
		`<rect x="50" y="10" width="40" height="50" fill="#8c4" style="filter:sepia(60%) brightness(1.2)"/>`,
	"shadow by function": `<rect x="10" y="10" width="40" height="50" fill="#8c4" style="filter:drop-shadow(5px 8px ` +
		`red)"/><rect x="60" y="10" width="20" height="50" fill="none" stroke="#8c4" color="blue" stroke-width="5" ` +
		`style="filter:drop-shadow(4px 4px)"/>`,
}
