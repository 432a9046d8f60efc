package redact

import (
	"reflect"
	"slices"
)

// Texts scrubs every text of a value of a struct type that is given by its
// pointer: texts and lists of texts that stand in it itself, but for those of the
// fields named as open. That way a text that is added to the type later is
// scrubbed unless somebody says that it need not be.
func (w *Words) Texts(pointer any, opened ...string) {
	v := reflect.ValueOf(pointer).Elem()
	for i := range v.NumField() {
		f := v.Field(i)
		if !f.CanSet() || slices.Contains(opened, v.Type().Field(i).Name) {
			continue
		}
		switch {
		case f.Kind() == reflect.String:
			f.SetString(w.Scrub(f.String()))
		case f.Kind() == reflect.Slice && f.Type().Elem().Kind() == reflect.String:
			for k := range f.Len() {
				f.Index(k).SetString(w.Scrub(f.Index(k).String()))
			}
		}
	}
}
