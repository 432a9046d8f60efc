package table

import (
	"strconv"

	"witnessmark.example/checks/quantity"
)

// Key is what a row is found by: a word or a quantity. The zero value is none.
// It is a small value; copy it freely.
type Key struct {
	word     string
	quantity quantity.Quantity
}

// Word is a key that is a word: "stranded", "XLPE".
func Word(word string) Key { return Key{word: word} }

// Quantity is a key that is a quantity: a size, a temperature, a number of
// conductors. A ± part plays no part: who wants the end of the band, passes it.
func Quantity(q quantity.Quantity) Key { return Key{quantity: q} }

// String gives the key as an error shows it. Words of a job are quoted.
func (k Key) String() string {
	if k.quantity.IsZero() {
		return strconv.Quote(k.word)
	}
	return k.quantity.Format(k.quantity.Unit())
}
