package report

import "strconv"

// jsonText writes JSON piece by piece, with the commas where they belong, so that a
// document may be written as its parts become known. Text goes through AppendJSON.
type jsonText struct {
	b     []byte
	start int // before it nothing belongs to this text
}

// next puts a comma between two elements.
func (j *jsonText) next() {
	if n := len(j.b); n > j.start {
		switch j.b[n-1] {
		case '{', '[', ':', '\n':
		default:
			j.b = append(j.b, ',')
		}
	}
}

// open begins an object or list as an element.
func (j *jsonText) open(c byte) *jsonText {
	j.next()
	j.b = append(j.b, c)
	return j
}

// close ends an object or list.
func (j *jsonText) close(c ...byte) *jsonText {
	j.b = append(j.b, c...)
	return j
}

// key begins a member of an object.
func (j *jsonText) key(name string) *jsonText {
	j.next()
	j.b = append(append(append(j.b, '"'), name...), '"', ':')
	return j
}

// object and list begin a member that is one.
func (j *jsonText) object(name string) *jsonText { return j.key(name).open('{') }
func (j *jsonText) list(name string) *jsonText   { return j.key(name).open('[') }

// text writes a member with text, unless there is none.
func (j *jsonText) text(name, s string) *jsonText {
	if s != "" {
		j.b = AppendJSON(j.key(name).b, s)
	}
	return j
}

// item writes text as an element of a list.
func (j *jsonText) item(s string) *jsonText {
	j.next()
	j.b = AppendJSON(j.b, s)
	return j
}

// number writes a member with a whole number.
func (j *jsonText) number(name string, n int) *jsonText {
	j.b = strconv.AppendInt(j.key(name).b, int64(n), 10)
	return j
}

// truth writes a member that is true or false.
func (j *jsonText) truth(name string, t bool) *jsonText {
	j.b = strconv.AppendBool(j.key(name).b, t)
	return j
}

// line ends a line between elements, behind the comma that is to come or at the
// beginning of a list.
func (j *jsonText) line() *jsonText {
	j.next()
	j.b = append(j.b, '\n')
	return j
}
