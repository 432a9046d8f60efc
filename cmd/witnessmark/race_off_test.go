//go:build !race

package main

// raced tells that the race detector runs.
const raced = false
