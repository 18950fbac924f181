package browser

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	_ "embed" // axe-core
	"encoding/hex"
	"fmt"
	"io"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// axe-core 4.14.1 (MPL-2.0), the file axe.min.js of the npm package of that name, compressed.
//
//go:embed testdata/axe.min.js.gz
var axePacked []byte

const axeSum = "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c"

var axe = sync.OnceValues(func() (string, error) {
	z, err := gzip.NewReader(bytes.NewReader(axePacked))
	if err != nil {
		return "", err
	}
	text, err := io.ReadAll(z)
	sum := sha256.Sum256(text)
	if got := hex.EncodeToString(sum[:]); err == nil && got != axeSum {
		err = fmt.Errorf("axe-core: got SHA-256 %s, want %s", got, axeSum)
	}
	return string(text), err
})

// Offences are what axe-core finds against its rules in the page as it is: one text a rule. read is
// a selector of what is read at the bench, where contrast must be 7:1; "" for nothing.
func (tab *Tab) Offences(read string) (list []string) {
	tab.t.Helper()
	source, err := axe()
	require.NoError(tab.t, err)
	tab.Do("if (!window.axe) {" + source + "\n}")
	tab.Eval(fmt.Sprintf(`(async () => {
  const found = [];
  const look = async (context, options) => {
    for (const v of (await axe.run(context, options)).violations) {
      const some = v.nodes.slice(0, 4).map((n) => n.target.join(" ") + " " + n.html.slice(0, 120) + " " + (n.any[0]?.message ?? ""));
      found.push(v.id + ": " + v.help + ", " + v.nodes.length + " times: " + some.join("; "));
    }
  };
  await look(document, {});
  const read = %q;
  if (read && document.querySelector(read)) await look({include: [[read]]}, {runOnly: {type: "rule", values: ["color-contrast-enhanced"]}});
  return found;
})()`, read), &list)
	return list
}

// Accessible requires that axe-core finds nothing, on a laptop in the dark and on a phone in the
// light; and on the phone nothing to press that is smaller than 44 pixels. read is as in Offences.
func (tab *Tab) Accessible(t testing.TB, what, read string) {
	t.Helper()
	tab.Size(Laptop)
	tab.Dark(true)
	assert.Empty(t, tab.Offences(read), "%s on a laptop, dark", what)
	tab.Size(Phone)
	tab.Dark(false)
	assert.Empty(t, tab.Offences(read), "%s on a phone, light", what)
	var small []string
	tab.Eval("rig.small(44)", &small)
	assert.Empty(t, small, "%s: too small for a finger", what)
}
