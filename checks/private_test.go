package checks

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks/fact"
)

// openText are the texts without a form that a redacted report shows, each with why
// nobody's name, address or number stands there.
var openText = map[string]string{
	"adds_to": "a job number, by which a reviewer asks", "replaces_job": "a job number, by which a reviewer asks",
	"conditions.clause": "a place in a permit whose number is left out",
	"units.marking":     "what the maker printed on the unit", "stacks.firmware": "a version of the maker's",
	"stacks.slots.firmware": "a version of the maker's",
	"stacks.slots.revision": "a version of the maker's", "inverters.firmware": "a version of the maker's",
	"supply.grid_profile": "the name of a profile of settings", "configuration.grid.profile": "the name of a profile of settings",
	"configuration.identity.reported_type": "a type of equipment", "configuration.identity.storage_kind": "a type of equipment",
	"conductors.terminals.at": "the part that a cable ends on", "connectors.plug": "a type of plug", "connectors.socket": "a type of socket",
	"tests.repeats": "the key of a test", "evidence.shows": "addresses of values", "snags.fact": "the address of a value",
	"changes.facts": "addresses of values", "concessions.fact": "the address of a value", "concessions.limit": "the name of a limit",
	"concessions.value": "a value that a limit is on; it is searched for private values", "register.instruments.model": "a type of instrument",
}

// openKeys are the fields that name entries. Addresses of findings are made of them,
// so they are shown; the README says that nobody is to be named in them.
func openKey(l *fact.Leaf) bool { return l.Type == fact.Key }

// What people write freely may name somebody. Each such field is either private or
// stands above with a reason, so that one that is added later is decided on.
func TestFreeTextIsPrivateOrExcused(t *testing.T) {
	c, _ := shipped(t)
	used := map[string]bool{}
	for _, l := range c.Leaves {
		switch {
		case l.Calculation != nil, l.Scope.List.IsEquipment(), l.IsPrivate(), openKey(l):
		case l.Type == fact.Text && l.Pattern == "":
			assert.Contains(t, openText, l.Path, "mark it @private(), or say why not")
			used[l.Path] = true
		case l.Type == fact.Link:
			assert.NotEqual(t, "register.people", l.Link, "%s names a person, and is not private", l.Path)
		}
	}
	for path := range openText {
		assert.True(t, used[path], "%s is no open text", path)
	}
}
