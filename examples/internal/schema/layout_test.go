package schema

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A schema is laid out a key a line, and says what it said.
func TestLayout(t *testing.T) {
	kept, err := os.ReadFile("../../closure/report/results.schema.json")
	require.NoError(t, err)
	var compact json.RawMessage
	require.NoError(t, json.Unmarshal(kept, &compact))
	plain, err := json.Marshal(compact)
	require.NoError(t, err)
	text, err := layout(plain)
	require.NoError(t, err)
	require.JSONEq(t, string(kept), string(text))
	lines := strings.Split(string(text), "\n")
	require.Less(t, len(lines), 6000)
	for _, line := range lines {
		if len(line) > lineRoom+2 {
			require.LessOrEqual(t, strings.Count(line, `":`), 1, "only one long text is longer than a line: %s", line)
		}
	}
	text, err = layout([]byte(`{"b":1,"a":["x",{}]}`))
	require.NoError(t, err)
	require.Equal(t, "{\"b\": 1, \"a\": [\"x\", {}]}\n", string(text))
	_, err = layout([]byte(`{"a":`))
	require.Error(t, err)
}
