package web

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"sync"

	"github.com/danielgtaylor/huma/v2"

	"brushfall/internal/fault"
)

// problem is how an error is told, as RFC 9457 has it, with what a fault knows: its
// code, its place, and what to do.
type problem struct {
	Type   string `json:"type" example:"about:blank"`
	Title  string `json:"title"`
	Status int    `json:"status"`
	Detail string `json:"detail" doc:"what is wrong, in plain words"`
	Code   string `json:"code" doc:"stable name of the fault"`
	Where  string `json:"where,omitempty" doc:"place of the fault: line and column of the job file, element of the drawing"`
	Help   string `json:"help,omitempty" doc:"what to do"`
}

// Error is of error.
func (p *problem) Error() string { return p.Detail }

// GetStatus is of huma.StatusError.
func (p *problem) GetStatus() int { return p.Status }

// ContentType is of huma.ContentTypeFilter.
func (p *problem) ContentType(string) string { return "application/problem+json" }

// newProblem makes a problem of a message that says what is wrong and, behind a
// semicolon or a colon, what to do.
func newProblem(status int, code, where, message string) *problem {
	p := &problem{Type: "about:blank", Title: http.StatusText(status), Status: status, Detail: message, Code: code, Where: where}
	if _, help, ok := strings.Cut(message, "; "); ok {
		p.Help = help
	}
	return p
}

// statusOf gives the HTTP status of the codes that are not the user's input.
func statusOf(f *fault.Error) int {
	switch f.Code {
	case "design-missing", "run-missing", "file-missing", "sample-missing", "page-missing", "roster-missing", "book-missing", "job-unknown", "template-unknown", "customer-unknown", "design-unknown", "quote-unknown":
		return http.StatusNotFound
	case "design-revision", "layout-newer", "run-stopped", "run-under-way", "quote-answered":
		return http.StatusConflict
	case "disk-full":
		return http.StatusInsufficientStorage
	case "upload-size":
		return http.StatusRequestEntityTooLarge
	case "token-missing":
		return http.StatusUnauthorized
	}
	if f.Kind == fault.Internal {
		return http.StatusInternalServerError
	}
	return http.StatusUnprocessableEntity
}

// placeOf gives the place of a fault; a flag of a command is what the page calls so.
func placeOf(f *fault.Error) string {
	if flag, ok := strings.CutPrefix(f.Where, "--"); ok {
		return strings.ReplaceAll(flag, "-", " ")
	}
	return f.Where
}

// shownOf gives an error as the page says it, with its place.
func shownOf(err error) string {
	f, ok := errors.AsType[*fault.Error](err)
	switch {
	case !ok:
		return err.Error()
	case f.Where == "":
		return f.Shown()
	}
	return placeOf(f) + ": " + f.Shown()
}

// problemOf turns an error into a problem; nil stays nil.
func problemOf(err error) error {
	if err == nil {
		return nil
	}
	if p, ok := errors.AsType[*problem](err); ok {
		return p
	}
	if f, ok := errors.AsType[*fault.Error](err); ok {
		return newProblem(statusOf(f), f.Code, placeOf(f), f.Shown())
	}
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return newProblem(http.StatusConflict, "layout-newer", "", "a newer request for the same design came in, so this one was given up")
	}
	return newProblem(http.StatusInternalServerError, "internal", "", err.Error())
}

// ownProblems has huma tell what it finds wrong with a request in the same form. The
// library has one place for this, which every server shares.
var ownProblems = sync.OnceFunc(func() {
	huma.NewError = func(status int, message string, errs ...error) huma.StatusError {
		code := map[int]string{http.StatusRequestEntityTooLarge: "upload-size"}[status]
		if code == "" {
			code = "request"
		}
		p := newProblem(status, code, "", message)
		for _, err := range errs {
			if d, ok := err.(huma.ErrorDetailer); ok {
				p.Detail += ": " + d.ErrorDetail().Message
				p.Where = d.ErrorDetail().Location
			} else if err != nil {
				p.Detail += ": " + err.Error()
			}
		}
		return p
	}
})
