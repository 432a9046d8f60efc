package main

import (
	"fmt"
	"time"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
)

// parseAsOf reads a date, which is that date in every time zone, or an instant
// with its offset; without either it is now.
func parseAsOf(text string, now func() time.Time) (checks.AsOf, error) {
	if text == "" {
		return checks.AsOf{Instant: now().UTC(), Date: fact.NoDay}, nil
	}
	if day, ok := fact.ParseDay(text); ok {
		return checks.AsOf{Date: day}, nil
	}
	instant, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return checks.AsOf{}, fmt.Errorf("--as-of: %q is neither a date such as 2026-03-11 nor an instant such as 2026-03-11T18:30:00Z", text)
	}
	return checks.AsOf{Instant: instant.UTC(), Date: fact.NoDay}, nil
}
