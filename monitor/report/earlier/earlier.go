// Package earlier compares the session in a folder with earlier ones that lie beside it, and
// prints its bench report with what changed since.
package earlier

import (
	"bytes"
	"context"
	"path/filepath"

	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/report/page"
)

// Compare compares two sessions; long runs and range walks with the earlier ones beside the
// later, too.
func Compare(thenFolder string, then *record.Record, nowFolder string, now *record.Record) (*compare.Comparison, error) {
	c, err := compare.Compare(thenFolder, then, nowFolder, now)
	if err != nil || c.Soak == nil && c.Walk == nil {
		return c, err
	}
	kept, err := report.KeptBefore(nowFolder, now)
	if err != nil {
		return nil, err
	}
	if c.Soak != nil {
		c.Soak.Against(now, kept)
	}
	if c.Walk != nil {
		c.Walk.Against(now, kept)
	}
	return c, nil
}

// Changes are those since the latest earlier session beside a folder in which something was
// heard; since is nil if there is none, or if nothing was judged that could have changed.
func Changes(ctx context.Context, folder string, r *record.Record) (since *compare.Comparison, before report.Before, err error) {
	if len(r.Claims) == 0 {
		return nil, before, nil
	}
	if before, err = report.FindBefore(ctx, folder, r); err != nil || before.Folder == "" {
		return nil, before, err
	}
	since, err = Compare(before.Folder, before.Record, folder, r)
	return since, before, err
}

// PassedOver are the sessions that were not compared with, as the report has them.
func PassedOver(before report.Before) (list []string) {
	for _, p := range before.PassedOver {
		list = append(list, filepath.Base(p.Folder)+": "+p.Why)
	}
	return list
}

// Report judges the session in a folder and is its bench report, as HTML.
func Report(ctx context.Context, folder string) ([]byte, error) {
	r, err := report.Load(ctx, folder)
	if err != nil {
		return nil, err
	}
	since, before, err := Changes(ctx, folder, r)
	if err != nil {
		return nil, err
	}
	var html bytes.Buffer
	err = page.Write(&html, r, since, page.Options{PassedOver: PassedOver(before)})
	return html.Bytes(), err
}
