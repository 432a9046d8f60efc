//go:build race

package main

import "testing"

// raced tells that the race detector runs: whatever only counts and compares is
// tried in full without it, which takes a tenth of the time, and in part with it.
const raced = true

// notRaced leaves a test out that only counts and compares and takes minutes under the
// race detector; what runs side by side is tried by others (TestSameBytes, the scripts).
func notRaced(t testing.TB) {
	t.Helper()
	t.Skip("tried in full without the race detector, see raced")
}
