package web

import (
	"slices"
	"sync"
)

// sending holds the ports that something is on its way to.
type sending struct {
	mu    sync.Mutex
	ports []string
}

// begin takes a port; false if it is taken, or too many are.
func (s *sending) begin(port string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if slices.Contains(s.ports, port) || len(s.ports) >= mostSendings {
		return false
	}
	s.ports = append(s.ports, port)
	return true
}

// end gives a port back.
func (s *sending) end(port string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.ports = slices.DeleteFunc(s.ports, func(p string) bool { return p == port })
}
