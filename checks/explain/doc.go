// Package explain says in full what one name stands for: a limit, a measure, a
// field, a list, a rule set, a built-in check, or a word of the reports.
//
// It makes values; how they look as text or JSON is decided elsewhere. Everything
// is derived from the definitions in use, so that what is explained is what is
// judged by. Only the words that no definition holds (outcomes, grades, stages,
// gates, built-in checks) stand here, in words.go, moments.go and builtin.go, and
// what the engine does with facts that it reads by their names, in read.go.
package explain
