//go:build !race

package review_test

// raced tells that the race detector runs.
const raced = false
