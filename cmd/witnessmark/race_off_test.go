//go:build !race

package main

import "testing"

// raced tells that the race detector runs.
const raced = false

// notRaced leaves a test out under the race detector.
func notRaced(testing.TB) {}
