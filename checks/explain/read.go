package explain

import (
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/register"
)

// readBy says, by its path, what is done with a fact that the engine reads by its
// name. No attribute of the shape tells that; a test holds the paths to the shape.
func readBy() map[string]string {
	const conceded = "A deviation is accepted only where the limit, the value, who granted it, who answers for it, the day and the reason are all there and fit; " + judge.ConcessionUsed + " asks that it accepts something."
	const paper = "A concession by the maker or an authority counts only with a document of the right kind that holds on the day and comes from who granted it."
	const settled = judge.Settled + " asks that "
	return map[string]string{
		"job":                    register.JobUnique + " asks that no other job has it; adds_to and replaces_job of other jobs name it.",
		"status":                 "A job that is cancelled or removed is not judged and counts in no sum; one on hold owes nothing that falls due.",
		"premises.id":            "Sums over the premises are taken over all jobs that name the same.",
		"premises.region":        judge.RuleSetsRequired + " looks it up in the firm's map of required rule sets.",
		"premises.occupancy":     judge.RuleSetsRequired + " looks it up in the firm's map of required rule sets.",
		"premises.time_zone":     "The day of the run is taken in it, and with it what is due by now.",
		"rule_sets":              "It says by which rule sets the job is judged; " + judge.RuleSetsRequired + " asks whether one is left out.",
		"adds_to":                register.EarlierJob + " asks that there is such a job, on the same premises.",
		"replaces_job":           register.EarlierJob + " asks that there is such a job, on the same premises; once this one is installed, what that one put in no longer counts.",
		"gates.gate":             "The gate counts as passed once there is an entry with its day; " + judge.DatesInOrder + " holds that to what the gate guards.",
		"gates.on":               "The gate counts as passed from then on; " + judge.DatesInOrder + " holds it to what the gate guards.",
		"concessions.limit":      conceded,
		"concessions.fact":       conceded,
		"concessions.value":      conceded,
		"concessions.granted_by": conceded,
		"concessions.by":         conceded,
		"concessions.on":         conceded,
		"concessions.reason":     conceded,
		"concessions.until":      "From the day after, the concession accepts nothing any more.",
		"concessions.document":   paper,
		"documents.document":     paper,
		"documents.on":           paper,
		"documents.valid_until":  paper,
		"documents.issued_by":    paper,
		"conditions.met":         settled + "it is met before its gate is passed.",
		"conditions.before":      settled + "the condition is met before this gate is passed.",
		"snags.weight":           settled + "the snag is put right before the gate that it names.",
		"snags.closed_on":        settled + "it is there before the gate that the snag names.",
		"notices.due_by":         settled + "the notice is done by then.",
		"notices.state":          settled + "the notice is done by its day.",
	}
}
