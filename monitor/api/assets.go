package api

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"sync"
	"time"

	"benchproof.example/dashboards/page"
)

// pagePolicy lets the live page have what this server sends, and nothing else: no script or style
// in the page itself, and no text that a script makes into elements but by the one library.
const pagePolicy = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; script-src 'self'; style-src 'self'; " +
	"img-src 'self'; connect-src 'self'; require-trusted-types-for 'script'; trusted-types lit-html"

// asset is a file of the live page, as it is and compressed.
type asset struct {
	kind, tag   string
	text, short []byte
}

var assetKinds = map[string]string{
	".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".svg": "image/svg+xml",
}

// assets are all files of the page, by their name.
var assets = sync.OnceValue(func() map[string]asset {
	all := map[string]asset{}
	names, _ := fs.Glob(page.Files, "built/*")
	for _, name := range names {
		text, err := fs.ReadFile(page.Files, name)
		if err != nil {
			panic(err) // it is embedded
		}
		sum := sha256.Sum256(text)
		all[path.Base(name)] = asset{assetKinds[path.Ext(name)], `"` + hex.EncodeToString(sum[:8]) + `"`, text, compressed(text)}
	}
	return all
})

func compressed(text []byte) []byte {
	var b bytes.Buffer
	w, _ := gzip.NewWriterLevel(&b, gzip.BestCompression) // fails only at a level that there is not
	_, _ = w.Write(text)
	_ = w.Close()
	return b.Bytes()
}

// pageFile sends a file of the live page.
func pageFile(name string) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		a, ok := assets()[name]
		if !ok {
			refuse(w, http.StatusNotFound, fmt.Sprintf("the live page has no file %s", shorten(name)))
			return
		}
		h := w.Header()
		h.Set("Content-Security-Policy", pagePolicy)
		h.Set("Content-Type", a.kind)
		h.Set("Cache-Control", "no-cache") // kept, and asked for again with its tag
		h.Set("ETag", a.tag)
		h.Set("Vary", "Accept-Encoding")
		text := a.text
		if strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
			text = a.short
			h.Set("Content-Encoding", "gzip")
		}
		http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(text))
	}
}

func pageAsset(w http.ResponseWriter, r *http.Request) { pageFile(r.PathValue("file"))(w, r) }
