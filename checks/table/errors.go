package table

// Reason says why a lookup found no figure. The zero value is no reason.
type Reason uint8

// The reasons.
const (
	_           Reason = iota
	NoTable            // no table has this name
	NoColumn           // the table has no such column of figures, or of words to choose by
	BadKey             // too few or too many keys, a word for a quantity, another kind, no value
	WrongSystem        // a metric size in a table of AWG and kcmil, or the other way round
	NoRow              // the key is not in the table, though it lies between its ends
	Beyond             // the value lies behind the end, or before the beginning, of the table
	NoFigure           // the cell is empty: the document has no figure there
)

// Error says why a lookup found no figure. What it means for a limit is always
// the same: not checked, with this text as the reason.
type Error struct {
	Reason Reason
	Table  string // the table's name, "us/nec-2023/310.16"
	Text   string // the whole message, in lower case unless it begins with a name
}

// Error gives the message.
func (e *Error) Error() string { return e.Text }
