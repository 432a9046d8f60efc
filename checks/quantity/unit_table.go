package quantity

// definition describes one unit: one unit of it is factor base units of its
// kind. Spellings are separated by "|" and need not repeat the symbol, nor
// variants that differ only by what normalise evens out (see there).
type definition struct {
	symbol    string
	kind      Kind
	system    System
	factor    string
	spellings string
}

// definitions lists every unit read. The first of each kind is its base unit,
// with factor 1. Factors are exact products of the constants in factor.go.
var definitions = []definition{
	{"count", Count, Neither, "1", "pcs|pc|pieces|ea"},

	{"ratio", Ratio, Neither, "1", "times"},
	{"%", Ratio, Neither, "1/100", "percent|pct"},
	{"‰", Ratio, Neither, "1/1000", "permil"},
	{"ppm", Ratio, Neither, "1/1000000", ""},

	{"m", Length, Metric, "1", "metre|meter|metres|meters"},
	{"km", Length, Metric, "1000", ""},
	{"cm", Length, Metric, "1/100", ""},
	{"mm", Length, Metric, "1/1000", ""},
	{"µm", Length, Metric, "1/1000000", ""},
	{"in", Length, US, "in", "inch|inches|\""},
	{"ft", Length, US, "ft", "foot|feet|'"},
	{"yd", Length, US, "3*ft", "yard|yards"},
	{"mi", Length, US, "5280*ft", "mile|miles"},
	{"mil", Length, US, "in/1000", "mils|thou"},

	{"m²", Area, Metric, "1", "sq m|sqm"},
	{"cm²", Area, Metric, "1/10000", "sq cm"},
	{"mm²", Area, Metric, "1/1000000", "sq mm|sqmm"},
	{"in²", Area, US, "in*in", "sq in"},
	{"ft²", Area, US, "ft*ft", "sq ft|sqft"},
	{"kcmil", Area, US, "1000*cmil", "MCM"},
	{"cmil", Area, US, "cmil", "circ mil|circular mil|circular mils"},
	{awgSymbol, Area, US, "1", ""},

	{"m³", Volume, Metric, "1", "cu m"},
	{"cm³", Volume, Metric, "1/1000000", "cc"},
	{"L", Volume, Metric, "1/1000", "l|litre|liter|litres|liters"},
	{"mL", Volume, Metric, "1/1000000", "ml"},
	{"in³", Volume, US, "in*in*in", "cu in"},
	{"ft³", Volume, US, "ft*ft*ft", "cu ft|cuft"},
	{"gal", Volume, US, "gal", "gallon|gallons|US gal"},

	{"kg", Mass, Metric, "1", ""},
	{"g", Mass, Metric, "1/1000", ""},
	{"mg", Mass, Metric, "1/1000000", ""},
	{"t", Mass, Metric, "1000", "tonne|tonnes"},
	{"lb", Mass, US, "lb", "lbs|lbm"},
	{"oz", Mass, US, "lb/16", ""},

	{"s", Duration, Neither, "1", "sec|second|seconds"},
	{"ms", Duration, Neither, "1/1000", ""},
	{"µs", Duration, Neither, "1/1000000", ""},
	{"min", Duration, Neither, "60", "minute|minutes"},
	{"h", Duration, Neither, "3600", "hr|hrs|hour|hours"},
	{"d", Duration, Neither, "86400", "day|days"},
	{"week", Duration, Neither, "604800", "weeks|wk"},

	{"month", CalendarTime, Neither, "1", "months|mo"},
	{"year", CalendarTime, Neither, "12", "years|yr"},

	{"A", Current, Neither, "1", "amp|amps|ampere|amperes"},
	{"µA", Current, Neither, "1/1000000", ""},
	{"mA", Current, Neither, "1/1000", ""},
	{"kA", Current, Neither, "1000", ""},

	{"V", Voltage, Neither, "1", "volt|volts"},
	{"mV", Voltage, Neither, "1/1000", ""},
	{"kV", Voltage, Neither, "1000", ""},

	{"W", Power, Neither, "1", "watt|watts"},
	{"mW", Power, Neither, "1/1000", ""},
	{"kW", Power, Neither, "1000", ""},
	{"MW", Power, Neither, "1000000", ""},
	{"hp", Power, US, "550*ft*lbf", ""},
	{"BTU/h", Power, US, "btu/3600", "Btu/h|BTU/hr|Btu/hr|BTUH"},

	{"VA", ApparentPower, Neither, "1", "V·A"},
	{"kVA", ApparentPower, Neither, "1000", "kV·A"},
	{"MVA", ApparentPower, Neither, "1000000", "MV·A"},

	{"var", ReactivePower, Neither, "1", "VAr|VAR"},
	{"kvar", ReactivePower, Neither, "1000", "kVAr|kVAR"},
	{"Mvar", ReactivePower, Neither, "1000000", "MVAr|MVAR"},

	{"J", Energy, Metric, "1", ""},
	{"kJ", Energy, Metric, "1000", ""},
	{"MJ", Energy, Metric, "1000000", ""},
	{"Wh", Energy, Neither, "3600", "W·h"},
	{"kWh", Energy, Neither, "3600000", "kW·h"},
	{"MWh", Energy, Neither, "3600000000", "MW·h"},
	{"BTU", Energy, US, "btu", "Btu"},

	{"A·s", Charge, Neither, "1", "As"},
	{"A·h", Charge, Neither, "3600", "Ah"},
	{"mA·h", Charge, Neither, "3600/1000", "mAh"},
	{"kA·h", Charge, Neither, "3600000", "kAh"},

	{"Ω", Resistance, Neither, "1", "Ohm|ohms"},
	{"µΩ", Resistance, Neither, "1/1000000", "µOhm"},
	{"mΩ", Resistance, Neither, "1/1000", "mOhm"},
	{"kΩ", Resistance, Neither, "1000", "kOhm"},
	{"MΩ", Resistance, Neither, "1000000", "MOhm|megohm|megohms"},
	{"GΩ", Resistance, Neither, "1000000000", "GOhm"},

	{"Ω/m", ResistancePerLength, Metric, "1", ""},
	{"mΩ/m", ResistancePerLength, Metric, "1/1000", "mV/A/m|mV/(A·m)"},
	{"Ω/km", ResistancePerLength, Metric, "1/1000", ""},
	{"Ω/kft", ResistancePerLength, US, "1/1000/ft", "Ω/kFT|Ω/1000 ft|Ω/1000ft"},

	{"F", Capacitance, Neither, "1", ""},
	{"mF", Capacitance, Neither, "1/1000", ""},
	{"µF", Capacitance, Neither, "1/1000000", ""},
	{"nF", Capacitance, Neither, "1/1000000000", ""},

	{"H", Inductance, Neither, "1", ""},
	{"mH", Inductance, Neither, "1/1000", ""},
	{"µH", Inductance, Neither, "1/1000000", ""},

	{"Pa", Pressure, Metric, "1", "N/m²"},
	{"hPa", Pressure, Metric, "100", ""},
	{"kPa", Pressure, Metric, "1000", ""},
	{"MPa", Pressure, Metric, "1000000", ""},
	{"GPa", Pressure, Metric, "1000000000", ""},
	{"kN/m²", Pressure, Metric, "1000", ""},
	{"N/mm²", Pressure, Metric, "1000000", ""},
	{"bar", Pressure, Metric, "100000", ""},
	{"mbar", Pressure, Metric, "100", ""},
	{"atm", Pressure, Neither, "101325", ""},
	{"psi", Pressure, US, "lbf/in/in", "lbf/in²|lb/in²"},
	{"ksi", Pressure, US, "1000*lbf/in/in", "kip/in²"},
	{"psf", Pressure, US, "lbf/ft/ft", "lbf/ft²|lb/ft²|lb/sq ft"},
	{"inH2O", Pressure, US, "in*1000*g_n", "in H2O|inWC|in WC|in w.c.|in wg"},

	{"N", Force, Metric, "1", ""},
	{"kN", Force, Metric, "1000", ""},
	{"kgf", Force, Metric, "g_n", ""},
	{"lbf", Force, US, "lbf", ""},
	{"kip", Force, US, "1000*lbf", "kips"},

	{"N/m", ForcePerLength, Metric, "1", ""},
	{"kN/m", ForcePerLength, Metric, "1000", ""},
	{"lbf/ft", ForcePerLength, US, "lbf/ft", "plf|lb/ft"},

	{"N·m", Torque, Metric, "1", "Nm"},
	{"kN·m", Torque, Metric, "1000", "kNm"},
	{"N·cm", Torque, Metric, "1/100", "Ncm"},
	{"kgf·m", Torque, Metric, "g_n", "kgfm"},
	{"kgf·cm", Torque, Metric, "g_n/100", "kgfcm"},
	{"lbf·in", Torque, US, "lbf*in", "in·lbf|lb·in|in·lb|lbs·in|in·lbs|lbfin|inlbf|lbin|inlb"},
	{"lbf·ft", Torque, US, "lbf*ft", "ft·lbf|lb·ft|ft·lb|lbs·ft|ft·lbs|lbfft|ftlbf|lbft|ftlb"},

	{"K", Temperature, Metric, "1", "kelvin"},
	{"°C", Temperature, Metric, "1", "deg C|Celsius"},
	{"°F", Temperature, US, "5/9", "deg F|Fahrenheit"},

	{"K", TemperatureDifference, Metric, "1", ""},
	{"Δ°C", TemperatureDifference, Metric, "1", "Δ °C|ΔC|Δ K|ΔK|delta deg C"},
	{"Δ°F", TemperatureDifference, US, "5/9", "Δ °F|ΔF|delta deg F"},

	{"1/K", TemperatureCoefficient, Metric, "1", "K⁻¹|1/°C"},
	{"%/K", TemperatureCoefficient, Metric, "1/100", "%/°C"},
	{"ppm/K", TemperatureCoefficient, Metric, "1/1000000", "ppm/°C"},

	{"rad", Angle, Neither, "1", ""},
	{"°", Angle, Neither, "pi/180", "degree|degrees"},

	{"Hz", Frequency, Neither, "1", ""},
	{"kHz", Frequency, Neither, "1000", ""},
	{"MHz", Frequency, Neither, "1000000", ""},

	{"1/s", Rate, Neither, "1", "s⁻¹|/s"},
	{"1/min", Rate, Neither, "1/60", "min⁻¹|/min"},
	{"1/h", Rate, Neither, "1/3600", "h⁻¹|/h|ACH|air changes/h"},
	{"1/d", Rate, Neither, "1/86400", "d⁻¹|/d|1/day|/day"},
	{"mA/Ah", Rate, Neither, "1/1000/3600", "mA/(A·h)"},

	{"bit/s", BitRate, Neither, "1", "bps"},
	{"kbit/s", BitRate, Neither, "1000", "kbps"},
	{"Mbit/s", BitRate, Neither, "1000000", "Mbps"},

	{"m³/s", Flow, Metric, "1", ""},
	{"m³/min", Flow, Metric, "1/60", ""},
	{"m³/h", Flow, Metric, "1/3600", "m³/hr"},
	{"L/s", Flow, Metric, "1/1000", "l/s"},
	{"L/min", Flow, Metric, "1/60000", "l/min|lpm"},
	{"L/h", Flow, Metric, "1/3600000", "l/h"},
	{"cfm", Flow, US, "ft*ft*ft/60", "ft³/min|CFM"},
	{"gpm", Flow, US, "gal/60", "gal/min|GPM"},

	{"m³/(s·m²)", FlowPerArea, Metric, "1", "m³/s/m²"},
	{"m³/(h·m²)", FlowPerArea, Metric, "1/3600", "m³/h/m²"},
	{"L/(s·m²)", FlowPerArea, Metric, "1/1000", "L/s/m²|l/s/m²|l/(s·m²)"},
	{"cfm/ft²", FlowPerArea, US, "ft/60", "cfm/sq ft"},

	{"m/s", Speed, Metric, "1", ""},
	{"km/h", Speed, Metric, "1000/3600", "kph"},
	{"mph", Speed, US, "5280*ft/3600", "mi/h"},
	{"ft/s", Speed, US, "ft", "fps"},
	{"ft/min", Speed, US, "ft/60", "fpm"},

	{"m/s²", Acceleration, Metric, "1", ""},
	{"ft/s²", Acceleration, US, "ft", ""},
	{"g_n", Acceleration, Neither, "g_n", "gn"},

	{"kg/m³", Density, Metric, "1", ""},
	{"g/cm³", Density, Metric, "1000", ""},
	{"kg/L", Density, Metric, "1000", "kg/l"},
	{"lb/ft³", Density, US, "lb/ft/ft/ft", "pcf"},

	{"kg/m²", MassPerArea, Metric, "1", ""},

	{"lx", Illuminance, Metric, "1", "lux"},
	{"fc", Illuminance, US, "1/ft/ft", "ftc|footcandle|footcandles|foot-candle|foot-candles"},

	{"dB", SoundLevel, Neither, "1", "dB(A)|dBA"},

	{"W/m²", HeatFlux, Metric, "1", ""},
	{"kW/m²", HeatFlux, Metric, "1000", ""},
	{"BTU/(h·ft²)", HeatFlux, US, "btu/3600/ft/ft", "BTU/h/ft²|Btu/(h·ft²)"},

	{"A²·s", LetThrough, Neither, "1", "A²s"},
	{"kA²·s", LetThrough, Neither, "1000000", "kA²s"},

	{"J/m²", EnergyPerArea, Metric, "1", ""},
	{"kJ/m²", EnergyPerArea, Metric, "1000", ""},
	{"J/cm²", EnergyPerArea, Metric, "10000", ""},
	{"cal/cm²", EnergyPerArea, Neither, "41840", "cal/sq cm"}, // the thermochemical calorie, 4.184 J
}
