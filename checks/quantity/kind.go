package quantity

// Kind names what a quantity is of. Two quantities can be compared only within
// one kind. The zero value None means no quantity at all.
type Kind uint8

// The kinds. The comment gives the base unit, in which Quantity.Base answers.
const (
	None                   Kind = iota
	Count                       // pieces
	Ratio                       // 1 (0.5 % is 0.005)
	Length                      // m
	Area                        // m²
	Volume                      // m³
	Mass                        // kg
	Duration                    // s
	CalendarTime                // months, which have no fixed number of days
	Current                     // A
	Voltage                     // V
	Power                       // W, real power
	ApparentPower               // VA
	ReactivePower               // var
	Energy                      // J
	Charge                      // A·s
	Resistance                  // Ω
	ResistancePerLength         // Ω/m
	Capacitance                 // F
	Inductance                  // H
	Pressure                    // Pa, floor loads included
	Force                       // N
	ForcePerLength              // N/m
	Torque                      // N·m
	Temperature                 // K, a point on the scale
	TemperatureDifference       // K
	TemperatureCoefficient      // 1/K
	Angle                       // rad
	Frequency                   // Hz
	Rate                        // 1/s, happenings or changes per time (air changes)
	BitRate                     // bit/s
	Flow                        // m³/s
	FlowPerArea                 // m/s, as m³/s for each m²
	Speed                       // m/s
	Acceleration                // m/s²
	Density                     // kg/m³
	MassPerArea                 // kg/m²
	Illuminance                 // lx
	SoundLevel                  // dB
	HeatFlux                    // W/m²
	LetThrough                  // A²·s
	EnergyPerArea               // J/m², what an arc lets through to the skin
	kindEnd
)

// kindNames is indexed by Kind.
var kindNames = [kindEnd]string{
	None: "no quantity", Count: "count", Ratio: "ratio", Length: "length", Area: "area",
	Volume: "volume", Mass: "mass", Duration: "duration", CalendarTime: "calendar time",
	Current: "current", Voltage: "voltage", Power: "power", ApparentPower: "apparent power",
	ReactivePower: "reactive power", Energy: "energy", Charge: "charge", Resistance: "resistance",
	ResistancePerLength: "resistance per length", Capacitance: "capacitance",
	Inductance: "inductance", Pressure: "pressure", Force: "force",
	ForcePerLength: "force per length", Torque: "torque", Temperature: "temperature",
	TemperatureDifference: "temperature difference", TemperatureCoefficient: "temperature coefficient",
	Angle: "angle", Frequency: "frequency", Rate: "rate", BitRate: "bit rate", Flow: "flow",
	FlowPerArea: "flow per area", Speed: "speed", Acceleration: "acceleration",
	Density: "density", MassPerArea: "mass per area", Illuminance: "illuminance",
	SoundLevel: "sound level", HeatFlux: "heat flux", LetThrough: "let-through energy", EnergyPerArea: "energy per area",
}

// String gives the kind's name in words, such as "temperature difference".
func (k Kind) String() string {
	if k >= kindEnd {
		return "unknown kind"
	}
	return kindNames[k]
}

// BaseUnit gives the unit Quantity.Base is in for this kind. It is the zero
// Unit for None.
func (k Kind) BaseUnit() Unit {
	if k >= kindEnd {
		return Unit{}
	}
	return table.base[k]
}

// withArticle gives the name with its article, for sentences.
func (k Kind) withArticle() string {
	name := k.String()
	switch name[0] {
	case 'a', 'e', 'i', 'o', 'u':
		return "an " + name
	}
	return "a " + name
}

// relativeBandMakesSense tells whether "± 4 %" can mean four percent of the
// value. It cannot where zero is a convention (a temperature in °C), where the
// scale is logarithmic, or where percent is the unit itself.
func (k Kind) relativeBandMakesSense() bool {
	return k != Temperature && k != SoundLevel && k != Ratio
}

// System tells which family of units a unit belongs to. It matters only for
// sources that print one limit in both.
type System uint8

// The systems. Neither is for units both sides use: V, A, kWh, %, h.
const (
	Neither System = iota
	Metric
	US
)

// String gives "metric", "US" or "neither".
func (s System) String() string {
	switch s {
	case Metric:
		return "metric"
	case US:
		return "US"
	}
	return "neither"
}
