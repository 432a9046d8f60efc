package main

import "fmt"

// colourFor decides whether a report is coloured. The option beats everything;
// then NO_COLOR, then FORCE_COLOR and CLICOLOR_FORCE, then CLICOLOR=0, then
// whether the report goes to a terminal that is not dumb. Only what goes to
// standard output is coloured without being asked for by the option.
func colourFor(option string, toStdout bool, around surroundings) bool {
	switch option {
	case "always":
		return true
	case "never":
		return false
	}
	set := func(name string) bool { return around.env(name) != "" }
	switch {
	case !toStdout || set("NO_COLOR"):
		return false
	case set("FORCE_COLOR"), set("CLICOLOR_FORCE") && around.env("CLICOLOR_FORCE") != "0":
		return true
	case around.env("CLICOLOR") == "0":
		return false
	}
	return around.terminal && around.env("TERM") != "dumb"
}

// oneOf holds the value of an option to the words it knows.
func oneOf(option, value string, words ...string) error {
	for _, w := range words {
		if value == w {
			return nil
		}
	}
	return fmt.Errorf("--%s: %w", option, unknownWord(value, words))
}
