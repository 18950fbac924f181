package browser

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/chromedp/chromedp/kb"
)

// key is one key, as each browser's protocol names it.
type key struct{ chromium, webdriver string }

// keys are those that are no sign, by their names in KeyboardEvent.key.
var keys = map[string]key{
	"Tab":        {kb.Tab, "\uE004"},
	"Enter":      {kb.Enter, "\uE007"},
	"Escape":     {kb.Escape, "\uE00C"},
	"Space":      {" ", " "},
	"End":        {kb.End, "\uE010"},
	"Home":       {kb.Home, "\uE011"},
	"ArrowLeft":  {kb.ArrowLeft, "\uE012"},
	"ArrowUp":    {kb.ArrowUp, "\uE013"},
	"ArrowRight": {kb.ArrowRight, "\uE014"},
	"ArrowDown":  {kb.ArrowDown, "\uE015"},
	"PageUp":     {kb.PageUp, "\uE00E"},
	"PageDown":   {kb.PageDown, "\uE00F"},
	"Backspace":  {kb.Backspace, "\uE003"},
}

const webdriverShift = "\uE008"

// keyOf is a key by its name, or a sign, or either behind "Shift+".
func keyOf(name string) (k key, shifted bool, err error) {
	plain, shifted := strings.CutPrefix(name, "Shift+")
	if k, ok := keys[plain]; ok {
		return k, shifted, nil
	}
	if utf8.RuneCountInString(plain) == 1 {
		return key{plain, plain}, shifted, nil
	}
	return key{}, false, fmt.Errorf("there is no key %q", name)
}
