package pages

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"io"
)

//go:embed page.html
var source string

//go:embed style.css
var style string

// policy lets the page use its own style and nothing else: no script, no picture,
// no font, no connection, whatever a job file holds.
var policy = "default-src 'none'; style-src 'sha256-" + digest(style) + "'; base-uri 'none'; form-action 'none'"

func digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return base64.StdEncoding.EncodeToString(sum[:])
}

var templates = template.Must(template.New("pages").Parse(source))

// execute writes one template. The values are this package's own types, so that
// only writing can fail, and the writer of the file keeps that error.
func execute(w io.Writer, name string, data any) { _ = templates.ExecuteTemplate(w, name, data) }
