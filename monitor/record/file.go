package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"benchproof.example/monitor/files"
)

// Names of the files that a report adds to a session's folder.
const (
	RecordFile = "record.json"
	PageFile   = "report.html"
)

// ErrNewer says that a newer program wrote a record.
var ErrNewer = errors.New("a newer program wrote this record")

// Encode is a record as record.json holds it.
func (r *Record) Encode() ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(r); err != nil {
		return nil, fmt.Errorf("encode the record: %w", err)
	}
	return out.Bytes(), nil
}

// Decode reads a record. One of a newer format is refused with ErrNewer.
func Decode(data []byte) (*Record, error) {
	var head struct {
		Format *int `json:"record"`
	}
	if err := json.Unmarshal(data, &head); err != nil {
		return nil, fmt.Errorf("read the record: %w", err)
	}
	if head.Format == nil || *head.Format < 1 {
		return nil, errors.New("read the record: got no format number under \"record\", want 1")
	}
	if *head.Format > Format {
		return nil, fmt.Errorf("%w: its format is %d, this program reads %d; use the newer program", ErrNewer, *head.Format, Format)
	}
	r := &Record{}
	if err := json.Unmarshal(data, r); err != nil {
		return nil, fmt.Errorf("read the record: %w", err)
	}
	return r, r.check()
}

// check refuses what no session can have shown and what could not be drawn.
func (r *Record) check() error {
	for i := range r.Traces {
		t := &r.Traces[i]
		if t.FromNS < 0 || t.ToNS < t.FromNS || t.ToNS.Sub(t.FromNS) > longestTrace {
			return fmt.Errorf("read the record: %s: got %d ns to %d ns, want a stretch of at most %d ns", t.ID, t.FromNS, t.ToNS, longestTrace)
		}
	}
	return nil
}

// longestTrace is more than any trace of this format has.
const longestTrace = traceMost + traceBefore + traceAfter

// Keep writes the record into the folder of its session.
func (r *Record) Keep(in files.Folder) error {
	data, err := r.Encode()
	if err != nil {
		return err
	}
	return files.Replace(in, RecordFile, data)
}
