// Package supply is the physics of the connection to the grid: currents that
// meet on a busbar and in the main fuse, loops and the devices that break them,
// phases, and what an island can feed. It imports quantity and table only and
// holds no limits; what a code allows stands in the rule sets.
//
// Currents are added without regard to their phase angle and as if they all
// flowed in one conductor. Both make sums larger than what flows: deliberately
// careful.
package supply
