//go:build race

package main

// raced tells that the race detector runs: whatever only counts and compares is
// tried in full without it, which takes a tenth of the time, and in part with it.
const raced = true
