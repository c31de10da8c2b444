package main

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
)

// Whatever is sent, as a form or as JSON, gets an answer or its faults.
func FuzzRequest(f *testing.F) {
	state, err := nutrient.ParseState(wexmoor)
	require.NoError(f, err)
	handler := newHandler(state)
	f.Add(good().Encode(), `{"reports":[{"form":"liquid","tkn":"20 lb/1000 gal"}],"query":{"species":"dairy"},"needN":"1e300 lb/acre"}`)
	f.Add("reports=1&reports[0].tkn=1e308+lb/gal&query.a.b=2&reports[9].x=1", `{"reports":null,"query":[]}`)
	f.Fuzz(func(t *testing.T, form, body string) {
		_, err := url.ParseQuery(form)
		for _, accept := range []string{"text/html", "application/json"} {
			get := httptest.NewRequest("GET", "/", nil)
			get.URL.RawQuery = form
			post := httptest.NewRequest("POST", "/", strings.NewReader(body))
			post.Header.Set("Content-Type", "application/json")
			for _, r := range []*http.Request{get, post} {
				r.Header.Set("Accept", accept)
				w := httptest.NewRecorder()
				handler.ServeHTTP(w, r)
				require.Contains(t, []int{http.StatusOK, http.StatusUnprocessableEntity}, w.Code, err)
				require.NotContains(t, w.Body.String(), "NaN")
			}
		}
	})
}
