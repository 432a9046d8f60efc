package explain

import (
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/register"
)

// BuiltIn explains the checks that the engine makes by itself, without a
// definition. A test holds the list to the constants of the engine: whoever adds
// a check adds its words here.
func BuiltIn() []*Explanation {
	return []*Explanation{
		builtIn(judge.Recorded, "Every fact that is due by now is recorded, and what was planned has its reading on site from the stage on at which that decides.",
			"What is not recorded cannot be checked, and nobody can show later that it was looked at.",
			"Record the fact where the message points. A job on hold owes nothing.",
			"every run, for each fact by its own due date", "wall_gap: {planned: 24 mm, built: 26 mm}"),
		builtIn(judge.DatasheetRead, "The equipment data of every product that is used could be read.",
			"Where it could not, no limit of the datasheet was checked, which must not look like a pass.",
			"Mend the equipment data, add the revision, or name the right one.",
			"every run, as soon as a product is named", "equipment: morvane@B"),
		builtIn(judge.StageByDates, "The stage of the job and its dates tell the same story.",
			"What is due hangs on the stage; a stage that lags behind the dates would hide what is missing.",
			"Correct the stage, or the date that is wrong.",
			"every run, for the dates of delivery, installation, energising and hand-over", "stage: installed\ndates: {installed: 2026-03-11}"),
		builtIn(judge.ConcessionUsed, "Every concession accepts something.",
			"One for a value that is within its limit, or that does not exist, is a mistake or has outlived its use.",
			"Take the concession out, or correct the limit and the fact that it names.",
			"every run", "concessions:\n  - id: c1\n    limit: policy#space-front\n    fact: stacks[A].clearance.front"),
		builtIn(judge.ValidWhenUsed, "An instrument was in calibration, and a licence in force, on the day it was used.",
			"A reading taken out of calibration shows nothing, and work without a licence in force is nobody's to answer for.",
			"Correct the day, name the instrument or person that was there, or add the calibration or licence of that time to the register. Else the reading has to be taken again.",
			"every run of a firm that keeps the register, once the day is recorded", "instrument: TW-3\nby: ro\non: 2026-03-11"),
		builtIn(judge.Entitled, "Who let a job through a gate, signed, or granted a deviation may rule on that.",
			"The firm says beforehand who answers for what; a signature by somebody else is none.",
			"Have it signed by somebody whose entry in the register of people says so under may_rule_on, or give that right there.",
			"every run of a firm that keeps a register of people", "gates:\n  - gate: energise\n    on: 2026-03-11\n    by: ro"),
		builtIn(judge.RuleSetsRequired, "The job names every rule set that the firm's map of regions, occupancies and dates asks for.",
			"A job that names no rules, or those of an edition that is out of force, would be judged by too little and look well.",
			"Name the rule set under rule_sets, correct the region, the occupancy or the date, or add the region to the map in the root file.",
			"every run of a firm that has such a map", "rule_sets: [us/irc-2021]"),
		builtIn(judge.DatesInOrder, "What happened later is not dated earlier, and a gate is passed before what it guards.",
			"Dates in the wrong order are a slip, or work was done before it was allowed.",
			"Correct the date that is wrong. If work really was done before its gate, say so in the gate's remark and have it looked at.",
			"every run, once both dates are recorded", "dates:\n  installed: 2026-03-11\n  energised: 2026-03-12"),
		builtIn(judge.SerialForm, "A serial number has the form that the datasheet states.",
			"A number of another form was read or copied wrong, or belongs to something else.",
			"Read the number again on site. If the maker changed the form, write the new one into the equipment data.",
			"every run, where the equipment data states a serial_pattern", "slots:\n  - slot: 1\n    serial: OM-2605-0901"),
		builtIn(judge.Settled, "What names its own gate or day is settled by then: conditions of the permit, snags, safety notices.",
			"It was put off on a promise; past its gate or day nobody would look for it again.",
			"Meet the condition, put the snag right or do what the notice demands, and record that. If it can wait, name a later gate or day.",
			"every run, once the gate is passed or the day is over; until then it is open before its gate", "snags:\n  - id: s1\n    what: gland on the left not tight\n    weight: before energising\n    closed_on: 2026-03-12"),
		builtIn(register.SerialUnique, "A serial number stands in one place of the repository only.",
			"One module cannot stand in two places: one of the two was read or copied wrong.",
			"Read the number again on site. A job that is cancelled, removed or replaced does not count.",
			"after the last job, over all jobs", "slots:\n  - slot: 1\n    serial: OM-2605-0901"),
		builtIn(register.JobUnique, "A job number belongs to one job file only.",
			"Everything that names a job by its number would be ambiguous.",
			"Give one of the two another number.",
			"after the last job, over all jobs", "job: 2026-014"),
		builtIn(register.EarlierJob, "adds_to and replaces_job name a job that exists, on the same premises, and never lead in a circle.",
			"Sums over the premises hang on it: storage that was taken out must not be counted, what stays must be.",
			"Name the earlier job by its number as its own file writes it.",
			"after the last job, over all jobs", "adds_to: 2024-117"),
	}
}

func builtIn(name, what, why, do, when, example string) *Explanation {
	return &Explanation{Kind: OfCheck, Name: name, What: what, Why: why, Word: &Word{Shown: name, Do: do}, Due: &Due{At: "always", Text: when},
		Examples: []Example{{Title: "what it looks at", Text: example + "\n", Language: "yaml"}}}
}
