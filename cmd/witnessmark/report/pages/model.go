package pages

// page is one printed page, or what begins one: in one language, of one job.
type page struct {
	Lang     string
	Kind     string // for the style
	Title    string
	Lines    []pair   // what the page is about
	Alerts   []string // what must not be overlooked
	Sections []section
	Foot     []string
}

// pair is a name with its value.
type pair struct {
	Name  string
	Value cell
}

// section is one part of a page. What is empty is left out.
type section struct {
	Heading string
	Lead    []string
	Items   []string
	Sketch  *sketch
	Tables  []table
	Ruler   string // says how long the line under it is
	Signs   []sign
	After   []string
}

// table is a table; the first cell of a row names it.
type table struct {
	Caption string
	Head    []string
	Rows    [][]cell
}

// cell is one value as it is shown.
type cell struct {
	Text    string
	Unknown bool   // nothing is recorded, or it could not be read; Text says so
	Strong  bool   // to be seen at once
	Whole   bool   // a day, which is never broken over two lines
	Note    string // smaller, behind the text
}
