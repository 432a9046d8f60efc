package review_test

import (
	"strings"
	"testing"
)

// What is known from an account says where the account stands.
func TestReviewOfAccountsWithoutAddress(t *testing.T) {
	t.Parallel()
	set := func(rest, source string) firm {
		text := strings.Replace(own("code", `b: {`+gapLimit+`, within: >=25, `+rest), `grade: "document", `, "", 1)
		return policyWith("").with("rules/own.cue", strings.Replace(text, `title: "Own"`, `title: "Own"`+source, 1))
	}
	runReviewCases(t, []reviewCase{
		{"no address", set("grade: \"secondary\"} // want: account-without-address", ""), `"secondary"`, `"secondary", address: "https://example.org/gaps"`},
		{"recalled", set("grade: \"secondary\"} // want: account-without-address", ""), `"secondary"`, `"memory"`},
		{"address of the rule set", set("grade: \"secondary\"} // want: account-without-address", ""), `title: "Own"`, `title: "Own", address: "https://example.org"`},
	})
}
