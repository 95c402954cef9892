package web

import (
	"crypto/subtle"
	"encoding/json"
	"net"
	"net/http"
	"net/netip"
	"runtime/debug"
	"slices"
	"strings"

	"brushfall/internal/fault"
)

// mostUpload bounds the body of a request: no drawing of the trade is near it.
const mostUpload = 32 << 20

// cookieName is the cookie that holds the token.
const cookieName = "brushfall"

// policy lets the page load from this server alone, run no script that is written
// into it, and be shown in no other page. Pictures may also be made by the page.
const policy = "default-src 'self'; img-src 'self' blob: data:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// guarded puts before a handler all that keeps others out.
func (s *Server) guarded(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		refuse(w, newProblem(http.StatusForbidden, "cross-origin", "", "the request comes from the page of another site"))
	}))
	next = s.asked(next)
	next = cross.Handler(next)
	next = s.named(next)
	return recovered(headed(http.MaxBytesHandler(next, mostUpload+1<<20)))
}

// refuse answers with a problem.
func refuse(w http.ResponseWriter, p *problem) {
	w.Header().Set("Content-Type", p.ContentType(""))
	w.WriteHeader(p.Status)
	_ = json.NewEncoder(w).Encode(p) // nobody is there any more if it fails
}

// recovered turns a panic, which is a fault of ours, into an answer.
func recovered(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			v := recover()
			if v == http.ErrAbortHandler {
				panic(v)
			}
			if v != nil {
				debug.PrintStack()
				refuse(w, newProblem(http.StatusInternalServerError, "internal", "", "the program has a fault; what you made is safe. Please report it with the design"))
			}
		}()
		next.ServeHTTP(w, r)
	})
}

// headed sets the headers that every answer has.
func headed(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
		if strings.HasPrefix(r.URL.Path, "/api/") {
			h.Set("Cache-Control", "no-store")
		}
		next.ServeHTTP(w, r)
	})
}

// named refuses requests for a host that is not this server: a page of another site
// whose name was made to lead here (DNS rebinding) has its own name in them.
func (s *Server) named(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !s.isOurs(r) {
			refuse(w, newProblem(http.StatusMisdirectedRequest, "host", "", "this is not the address of the workbench; use the one that \"brushfall open\" printed"))
			return
		}
		next.ServeHTTP(w, r)
	})
}

func (s *Server) isOurs(r *http.Request) bool {
	host := strings.ToLower(r.Host)
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	host = strings.Trim(host, "[]")
	if host == "localhost" || slices.Contains(s.opt.Hosts, host) {
		return true
	}
	named, err := netip.ParseAddr(host)
	if err != nil {
		return false
	}
	if named.IsLoopback() {
		return true
	}
	local, ok := r.Context().Value(http.LocalAddrContextKey).(net.Addr)
	if !ok {
		return false
	}
	at, err := netip.ParseAddrPort(local.String())
	return err == nil && at.Addr().Unmap().WithZone("") == named.Unmap().WithZone("")
}

// asked asks for the token on everything but the page itself, which holds nothing
// of the shop, and the way in.
func (s *Server) asked(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if s.opt.Token == "" || !strings.HasPrefix(r.URL.Path, "/api/") || r.URL.Path == "/api/enter" || s.knows(r) {
			next.ServeHTTP(w, r)
			return
		}
		refuse(w, problemOf(fault.New("token-missing", "", "this window has not been let in; open the whole address that \"brushfall open\" printed, with what stands behind the #")).(*problem))
	})
}

func (s *Server) knows(r *http.Request) bool {
	token, _ := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	if c, err := r.Cookie(cookieName); err == nil && token == "" {
		token = c.Value
	}
	return s.isToken(token)
}

func (s *Server) isToken(token string) bool {
	return subtle.ConstantTimeCompare([]byte(token), []byte(s.opt.Token)) == 1
}
