package main

import (
	"fmt"
	"strconv"
)

// narrowest is the least width that text is wrapped to: below it hardly a word fits.
const narrowest = 20

// parseWidth reads --width: a number of columns, 0 for text that is never wrapped.
func parseWidth(text string) (int, error) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 || n > 0 && n < narrowest {
		return 0, fmt.Errorf("--width: %q is neither 0 nor a whole number of columns from %d", text, narrowest)
	}
	return n, nil
}

// widthFor decides how many columns text may have, 0 for any number: what the option
// says; else, for what goes to standard output where that is a terminal, what COLUMNS
// says; else the width of the terminal. What is kept does not depend on the window it
// was made in.
func widthFor(option string, toStdout bool, around surroundings) (int, error) {
	if option != "" {
		return parseWidth(option)
	}
	if !toStdout || !around.terminal {
		return 0, nil
	}
	columns := around.columns
	if n, err := strconv.Atoi(around.env("COLUMNS")); err == nil && n > 0 {
		columns = n
	}
	if columns > 0 {
		columns = max(columns, narrowest)
	}
	return columns, nil
}
