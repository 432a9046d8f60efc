// Package redact leaves private values out of what a run hands on: values of
// fields that the shape marks private, keys of entries where the key is private,
// what the firm's registers hold of them, and every message that quotes one of
// them. It works on what was found, after everything was judged, so that outcomes
// and counts are the same, and before any report sees it, so that no report has to
// know of it; one in another language may look for LeftOut to say it in its own.
//
// Values are replaced where they stand. A message is searched for the private
// values of its file, whoever made it: one that is added later and quotes a value
// needs nothing done for it.
package redact

import "strconv"

// LeftOut stands in place of a private value. It is never empty: what is left out
// must not look like what is not recorded.
const LeftOut = "(left out)"

// LeftOutAs is LeftOut for one of several, counted from 1, where they must be told
// from each other: entries of a list, premises.
func LeftOutAs(n int) string { return "(left out " + strconv.Itoa(n) + ")" }
