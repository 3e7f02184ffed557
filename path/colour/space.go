package colour

import (
	"math"

	"furrow/path"
)

// vec is three components of a colour.
type vec [3]float64

// mat is a linear map of them, row by row.
type mat [3]vec

func (m mat) mul(v vec) (out vec) {
	for i, row := range m {
		out[i] = float64(row[0]*v[0]) + float64(row[1]*v[1]) + float64(row[2]*v[2])
	}
	return out
}

// The maps between linear light and CIE XYZ of CSS Color 4, 17 (sample code for
// color conversions).
var (
	srgbFromXYZ = mat{
		{12831.0 / 3959, -329.0 / 214, -1974.0 / 3959},
		{-851781.0 / 878810, 1648619.0 / 878810, 36519.0 / 878810},
		{705.0 / 12673, -2585.0 / 12673, 705.0 / 667},
	}
	xyzFromP3 = mat{
		{608311.0 / 1250200, 189793.0 / 714400, 198249.0 / 1000160},
		{35783.0 / 156275, 247089.0 / 357200, 198249.0 / 2500400},
		{0, 32229.0 / 714400, 5220557.0 / 5000800},
	}
	xyzFromA98 = mat{
		{573536.0 / 994567, 263643.0 / 1420810, 187206.0 / 994567},
		{591459.0 / 1989134, 6239551.0 / 9945670, 374412.0 / 4972835},
		{53769.0 / 1989134, 351524.0 / 4972835, 4929758.0 / 4972835},
	}
	xyzFromRec2020 = mat{
		{63426534.0 / 99577255, 20160776.0 / 139408157, 47086771.0 / 278816314},
		{26158966.0 / 99577255, 472592308.0 / 697040785, 8267143.0 / 139408157},
		{0, 19567812.0 / 697040785, 295819943.0 / 278816314},
	}
	xyzD50FromProPhoto = mat{
		{0.79776664490064230, 0.13518129740053308, 0.03134773412839220},
		{0.28807482881940130, 0.71183523424187300, 0.00008993693872564},
		{0, 0, 0.82510460251046020},
	}
	d65FromD50 = mat{
		{0.955473421488075, -0.02309845494876471, 0.06325924320057072},
		{-0.0283697093338637, 1.0099953980813041, 0.021041441191917323},
		{0.012314014864481998, -0.020507649298898964, 1.330365926242124},
	}
)

// d50 is the white of Lab (CSS Color 4, 9).
var d50 = vec{0.3457 / 0.3585, 1, (1 - 0.3457 - 0.3585) / 0.3585}

// each maps components one by one, negative ones like their opposites.
func (v vec) each(f func(float64) float64) vec {
	for i, c := range v {
		v[i] = math.Copysign(f(math.Abs(c)), c)
	}
	return v
}

// Linear returns a component of sRGB or Display P3 in proportion to light (IEC
// 61966-2-1).
func Linear(c float64) float64 {
	if c <= 0.04045 {
		return c / 12.92
	}
	return math.Pow((c+0.055)/1.055, 2.4)
}

// FromLinear returns a component of sRGB from one in proportion to light.
func FromLinear(c float64) float64 {
	if c <= 0.0031308 {
		return c * 12.92
	}
	return 1.055*math.Pow(c, 1/2.4) - 0.055
}

// linearRec2020 is the inverse of the transfer function of ITU-R BT.2020.
func linearRec2020(c float64) float64 {
	const alpha, beta = 1.09929682680944, 0.018053968510807
	if c < beta*4.5 {
		return c / 4.5
	}
	return math.Pow((c+alpha-1)/alpha, 1/0.45)
}

func linearProPhoto(c float64) float64 {
	if c <= 16.0/512 {
		return c / 16
	}
	return math.Pow(c, 1.8)
}

func power(p float64) func(float64) float64 {
	return func(c float64) float64 { return math.Pow(c, p) }
}

// fromXYZ returns the sRGB of a colour with the white of D65; what sRGB does not
// reach is cut off, as browsers do.
func fromXYZ(v vec) path.Paint {
	c := srgbFromXYZ.mul(v).each(FromLinear)
	return path.Paint{R: unit(c[0]), G: unit(c[1]), B: unit(c[2]), Opacity: 1}
}

// fromLab takes CIE Lab with the white of D50.
func fromLab(v vec) path.Paint {
	const kappa, epsilon = 24389.0 / 27, 216.0 / 24389
	fy := (v[0] + 16) / 116
	f := vec{fy + v[1]/500, fy, fy - v[2]/200}
	var xyz vec
	for i := range f {
		if xyz[i] = f[i] * f[i] * f[i]; xyz[i] <= epsilon {
			xyz[i] = (116*f[i] - 16) / kappa
		}
		xyz[i] *= d50[i]
	}
	return fromXYZ(d65FromD50.mul(xyz))
}

// fromPolar turns chroma and hue, in degrees, to the two axes of Lab.
func fromPolar(v vec) vec {
	sin, cos := math.Sincos(v[2] * math.Pi / 180)
	return vec{v[0], v[1] * cos, v[1] * sin}
}

// fromSpace takes a colour of one of the spaces of color().
func fromSpace(name string, v vec) (path.Paint, bool) {
	switch name {
	case "srgb":
		return path.Paint{R: unit(v[0]), G: unit(v[1]), B: unit(v[2]), Opacity: 1}, true
	case "srgb-linear":
		c := v.each(FromLinear)
		return path.Paint{R: unit(c[0]), G: unit(c[1]), B: unit(c[2]), Opacity: 1}, true
	case "display-p3":
		return fromXYZ(xyzFromP3.mul(v.each(Linear))), true
	case "a98-rgb":
		return fromXYZ(xyzFromA98.mul(v.each(power(563.0 / 256)))), true
	case "prophoto-rgb":
		return fromXYZ(d65FromD50.mul(xyzD50FromProPhoto.mul(v.each(linearProPhoto)))), true
	case "rec2020":
		return fromXYZ(xyzFromRec2020.mul(v.each(linearRec2020))), true
	case "xyz", "xyz-d65":
		return fromXYZ(v), true
	case "xyz-d50":
		return fromXYZ(d65FromD50.mul(v)), true
	}
	return path.Paint{}, false
}
