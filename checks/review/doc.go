// Package review looks for what can be wrong with definitions themselves, without
// any job: limits that decide nothing or refuse everything, editions that leave
// days between them, reviews that are overdue, equipment data that lacks a figure.
//
// Every rule is a pure function from a Subject to Remarks, listed in rules. A rule
// speaks only where it is certain: what depends on facts of a job, or on a pattern
// in free text, it leaves alone; Notes says so.
package review
