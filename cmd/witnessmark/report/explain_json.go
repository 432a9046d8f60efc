package report

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"

	"witnessmark.example/checks/explain"
)

// ExplainSchema is the JSON Schema (2020-12) of an explanation as JSON.
//
//go:embed explain.schema.json
var ExplainSchema []byte

// ExplainJSON writes an explanation as one JSON object and a line end. The names
// of its keys are those of package explain and are kept.
func ExplainJSON(e *explain.Explanation) ([]byte, error) {
	raw, err := json.Marshal(e)
	if err != nil {
		return nil, fmt.Errorf("write the explanation as JSON: %w", err)
	}
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	out, err := rewrite(nil, d)
	return append(out, '\n'), err
}

// rewrite copies one JSON value with every string written anew by AppendJSON, so
// that nothing a definition says can steer what shows the report.
func rewrite(b []byte, d *json.Decoder) ([]byte, error) {
	token, err := d.Token()
	if err != nil {
		return b, err
	}
	switch x := token.(type) {
	case string:
		return AppendJSON(b, x), nil
	case json.Delim:
		isObject := x == '{'
		b = append(b, byte(x))
		for i := 0; d.More(); i++ {
			b = comma(b, i)
			if isObject {
				if b, err = rewrite(b, d); err != nil {
					return b, err
				}
				b = append(b, ':')
			}
			if b, err = rewrite(b, d); err != nil {
				return b, err
			}
		}
		end, err := d.Token()
		if closing, ok := end.(json.Delim); ok {
			b = append(b, byte(closing))
		}
		return b, err
	case bool:
		if x {
			return append(b, "true"...), nil
		}
		return append(b, "false"...), nil
	case json.Number:
		return append(b, x...), nil
	}
	return append(b, "null"...), nil
}
