package main

import (
	"fmt"
	"io"
	"strings"

	"rsc.io/qr"
)

// What is said beside the code.
const (
	whoHasTheCode = "A phone's camera reads address and token from this code, and so does whoever photographs it: " +
		"they may then do what you may, read the session, set marks, reopen claims and lead drills, until you change the token in %s. " +
		"--qr=false leaves it out."
	codeTooLarge = "A code with address and token for a phone's camera would be %d columns wide and %d lines high: it is left out, " +
		"for this terminal is smaller. On the phone open %s and type the token."
)

// quietZone is how many light modules a code has around it (ISO/IEC 18004).
const quietZone = 4

// showCode shows a phone the way in: address and token, on a terminal alone, where a token is
// set and others than this computer reach the address. The token stands behind the #, which
// no browser sends to anybody.
func (l *listening) showCode(out io.Writer) {
	if !l.code || l.at == nil || l.token == "" || isLoopback(l.at.Addr()) || !isTerminal(out) {
		return
	}
	page := l.address(l.hosts()[0])
	code, err := qr.Encode(page+"#token="+l.token, qr.L)
	if err != nil { // the token is too long for any code
		return
	}
	columns, rows := sizeOf(out)
	drawn := drawCode(code.Size, code.Black, bool(paintOf(out)))
	if wide := code.Size + 2*quietZone; wide > columns || len(drawn) > rows {
		say(out, "benchproof: "+fmt.Sprintf(codeTooLarge, wide, len(drawn), page))
		return
	}
	_ = printPainted(out, strings.Join(drawn, "\n")+"\n")
	say(out, "benchproof: "+fmt.Sprintf(whoHasTheCode, l.tokenFile))
}

// drawCode draws a code of so many modules a side, two of them a character one above the
// other: black on white, or, where there are no colours, light ones as blocks, for most
// terminals are dark.
func drawCode(size int, black func(x, y int) bool, colours bool) (lines []string) {
	signs := [...]string{"█", "▄", "▀", " "} // upper and lower light; lower; upper; none
	if colours {
		signs = [...]string{" ", "▀", "▄", "█"}
	}
	for y := -quietZone; y < size+quietZone; y += 2 {
		var line strings.Builder
		for x := -quietZone; x < size+quietZone; x++ {
			sign := 0
			if black(x, y) {
				sign++
			}
			if black(x, y+1) {
				sign += 2
			}
			line.WriteString(signs[sign])
		}
		if colours {
			lines = append(lines, blackOnWhite+line.String()+colourEnds)
			continue
		}
		lines = append(lines, line.String())
	}
	return lines
}
