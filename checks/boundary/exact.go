package boundary

import (
	"fmt"
	"math/big"
	"strings"

	"witnessmark.example/checks/quantity"
)

// factors gives, for every unit symbol, how many base units of its kind one of
// it is, as a product of numbers and the names below. It is deliberately not
// taken from package quantity. Sources: NIST SP 811 (2008), appendix B, figures
// that are exact by definition; the ampere-hour and watt-hour families by their
// names; from memory where the appendix names none.
const factors = `
count=1 ratio=1 %=1/100 ‰=1/1000 ppm=1/1000000
m=1 km=1000 cm=1/100 mm=1/1000 µm=1/1000000 in=in ft=12*in yd=36*in mi=63360*in mil=in/1000
m²=1 cm²=1/10000 mm²=1/1000000 in²=in*in ft²=144*in*in kcmil=pi/4*in*in/1000 cmil=pi/4*in*in/1000000 AWG=1
m³=1 cm³=1/1000000 L=1/1000 mL=1/1000000 in³=in*in*in ft³=1728*in*in*in gal=231*in*in*in
kg=1 g=1/1000 mg=1/1000000 t=1000 lb=lb oz=lb/16
s=1 ms=1/1000 µs=1/1000000 min=60 h=3600 d=86400 week=604800 month=1 year=12
A=1 µA=1/1000000 mA=1/1000 kA=1000 V=1 mV=1/1000 kV=1000
W=1 mW=1/1000 kW=1000 MW=1000000 hp=6600*in*lbf BTU/h=btu/3600
VA=1 kVA=1000 MVA=1000000 var=1 kvar=1000 Mvar=1000000
J=1 kJ=1000 MJ=1000000 Wh=3600 kWh=3600000 MWh=3600000000 BTU=btu
A·s=1 A·h=3600 mA·h=3600/1000 kA·h=3600000
Ω=1 µΩ=1/1000000 mΩ=1/1000 kΩ=1000 MΩ=1000000 GΩ=1000000000
Ω/m=1 mΩ/m=1/1000 Ω/km=1/1000 Ω/kft=1/12000/in
F=1 mF=1/1000 µF=1/1000000 nF=1/1000000000 H=1 mH=1/1000 µH=1/1000000
Pa=1 hPa=100 kPa=1000 MPa=1000000 GPa=1000000000 kN/m²=1000 N/mm²=1000000 bar=100000 mbar=100
atm=101325 psi=lbf/in/in ksi=1000*lbf/in/in psf=lbf/144/in/in inH2O=in*1000*g
N=1 kN=1000 kgf=g lbf=lbf kip=1000*lbf N/m=1 kN/m=1000 lbf/ft=lbf/12/in
N·m=1 kN·m=1000 N·cm=1/100 kgf·m=g kgf·cm=g/100 lbf·in=lbf*in lbf·ft=12*lbf*in
K=1 °C=1 °F=5/9 Δ°C=1 Δ°F=5/9 1/K=1 %/K=1/100 ppm/K=1/1000000
rad=1 °=pi/180 Hz=1 kHz=1000 MHz=1000000
1/s=1 1/min=1/60 1/h=1/3600 1/d=1/86400 mA/Ah=1/3600000 bit/s=1 kbit/s=1000 Mbit/s=1000000
m³/s=1 m³/min=1/60 m³/h=1/3600 L/s=1/1000 L/min=1/60000 L/h=1/3600000
cfm=1728*in*in*in/60 gpm=231*in*in*in/60
m³/(s·m²)=1 m³/(h·m²)=1/3600 L/(s·m²)=1/1000 cfm/ft²=12*in/60
m/s=1 km/h=1000/3600 mph=63360*in/3600 ft/s=12*in ft/min=12*in/60
m/s²=1 ft/s²=12*in g_n=g kg/m³=1 g/cm³=1000 kg/L=1000 lb/ft³=lb/1728/in/in/in
kg/m²=1 lx=1 fc=1/144/in/in dB=1
W/m²=1 kW/m²=1000 BTU/(h·ft²)=btu/3600/144/in/in A²·s=1 kA²·s=1000000 J/m²=1 kJ/m²=1000 J/cm²=10000 cal/cm²=41840
`

// names are the constants of factors: inch in m, pound in kg, standard gravity
// in m/s², pound-force in N, International Table Btu in J, and the ratio of a circle.
var names = map[string]string{
	"in": "0.0254", "lb": "0.45359237", "g": "9.80665", "lbf": "4.4482216152605", "btu": "1055.05585262",
	"pi": "3.14159265358979323846264338327950288419716939937510",
}

// scale turns numbers of one unit into the base unit of its kind and back.
type scale struct{ factor, offset *big.Rat }

// offsets are added before the factor (NIST SP 811, B.8).
var offsets = map[string]string{"°C": "273.15", "°F": "459.67"}

// scaleOf finds the exact scale of a unit. A unit without one is an error: the
// table above has to grow with the engine's.
func scaleOf(u quantity.Unit) (scale, error) {
	expression, ok := factorOf(u.Symbol())
	if !ok {
		return scale{}, fmt.Errorf("no exact factor is known for the unit %s; add it to the table of package boundary", u)
	}
	s := scale{product(expression), new(big.Rat)}
	if o := offsets[u.Symbol()]; o != "" {
		s.offset = rat(o)
	}
	return s, nil
}

// factorOf finds what stands for a unit symbol in the table. It searches the text
// rather than splitting it: this is done for every value of every case.
func factorOf(symbol string) (expression string, ok bool) {
	for _, before := range []string{" ", "\n"} {
		if _, rest, found := strings.Cut(factors, before+symbol+"="); found {
			return rest[:strings.IndexAny(rest, " \n")], true
		}
	}
	return "", false
}

// base gives the number of base units in x units.
func (s scale) base(x *big.Rat) *big.Rat {
	sum := new(big.Rat).Add(x, s.offset)
	return sum.Mul(sum, s.factor)
}

// number gives the number of units in x base units.
func (s scale) number(x *big.Rat) *big.Rat {
	q := new(big.Rat).Quo(x, s.factor)
	return q.Sub(q, s.offset)
}

// product works out numbers and names joined by * and /, from left to right.
func product(expression string) *big.Rat {
	out, divide := big.NewRat(1, 1), false
	for expression != "" {
		cut := strings.IndexAny(expression, "*/")
		token, rest := expression, ""
		if cut >= 0 {
			token, rest = expression[:cut], expression[cut+1:]
		}
		if n, ok := names[token]; ok {
			token = n
		}
		if divide {
			out.Quo(out, rat(token))
		} else {
			out.Mul(out, rat(token))
		}
		divide = cut >= 0 && expression[cut] == '/'
		expression = rest
	}
	return out
}

// rat reads a decimal; the table above is tested whole, so that a slip in it
// cannot get further than that test.
func rat(text string) *big.Rat {
	r, ok := new(big.Rat).SetString(text)
	if !ok {
		panic("boundary: no number: " + text)
	}
	return r
}

// decimalText writes a number exactly as a decimal; ok is false where it has no
// finite one or needs more digits than the engine reads (18).
func decimalText(x *big.Rat) (text string, ok bool) {
	const places, digits = 28, 18
	n, exact := x.FloatPrec()
	if !exact || n > places {
		return "", false
	}
	text = x.FloatString(n)
	if len(strings.TrimLeft(strings.NewReplacer(".", "", "-", "").Replace(text), "0")) > digits {
		return "", false
	}
	return text, true
}
