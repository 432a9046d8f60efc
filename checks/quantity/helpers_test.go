package quantity

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// requireProblem sees to it that an error is ours and about the right thing.
func requireProblem(t *testing.T, err error, want Problem, text string) *Error {
	t.Helper()
	var problem *Error
	require.ErrorAs(t, err, &problem, "%q should be refused", text)
	require.Equal(t, want.String(), problem.Problem.String(), "%q: %v", text, err)
	return problem
}

// requireFails parses with the decimal point and expects a problem.
func requireFails(t *testing.T, text, want string, problem Problem) *Error {
	t.Helper()
	_, err := Of(text, want)
	return requireProblem(t, err, problem, text)
}
