package main

import (
	"bytes"
	"context"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"brushfall/examples"
	"brushfall/internal/bench"
	"brushfall/internal/fault"
	"brushfall/internal/web"
)

// addressName is the file beside the designs that says where they are open.
const addressName = "address"

// joinWait is how long a workbench that runs already may take to answer.
const joinWait = 2 * time.Second

// join opens a window on the workbench that has the bench open already.
func (a *app) join(ctx context.Context, dir string, f openFlags) error {
	text, err := os.ReadFile(filepath.Join(dir, addressName))
	address := strings.TrimSpace(string(text))
	if err != nil || f.addr != "" || !answers(ctx, address) {
		return fault.New("bench-busy", dir, "the workbench is open already, so it is not opened twice; use the address that it printed, or end it there with Ctrl-C%s", behind(address))
	}
	if !f.quiet {
		a.browse(address)
	}
	return a.say(opened{address, dir}, func(w *bytes.Buffer) { fmt.Fprintf(w, "The workbench is open already, at %s\n", address) })
}

// behind names the address of the workbench that is open, if it is known.
func behind(address string) string {
	if address == "" {
		return ""
	}
	return " (it is at " + address + ")"
}

// answers says whether a workbench is at an address.
func answers(ctx context.Context, address string) bool {
	ctx, cancel := context.WithTimeout(ctx, joinWait)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, address+"/api/about", nil)
	if err != nil {
		return false
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return false
	}
	_ = res.Body.Close()
	return res.StatusCode == http.StatusOK
}

// listenAt listens at the address asked for; without one at the usual, or, where that
// is taken, at any port of this computer alone.
func listenAt(addr string) (net.Listener, error) {
	if addr == "" {
		if l, err := net.Listen("tcp", usualAddr); err == nil {
			return l, nil
		}
		addr = "127.0.0.1:0"
	}
	if _, _, err := net.SplitHostPort(addr); err != nil {
		return nil, fault.New("usage", "--addr", "%q is no address; give a host and a port, such as %s", addr, usualAddr)
	}
	l, err := net.Listen("tcp", addr)
	if err != nil {
		return nil, fault.New("open", addr, "nothing can listen here (%v); choose another port, or leave --addr out", err)
	}
	return l, nil
}

// loopback says whether only this computer reaches an address.
func loopback(at net.Addr) bool {
	p, err := netip.ParseAddrPort(at.String())
	return err == nil && p.Addr().Unmap().IsLoopback()
}

// address gives what to type into a browser. A token stands behind the #, which a
// browser sends to nobody.
func address(at net.Addr, token string) string {
	p, err := netip.ParseAddrPort(at.String())
	if err != nil {
		return "http://" + at.String()
	}
	if p.Addr().IsUnspecified() {
		p = netip.AddrPortFrom(ownAddress(), p.Port())
	}
	if token == "" {
		return "http://" + p.String()
	}
	return "http://" + p.String() + "/enter#" + token
}

// ownAddress gives an address of this computer in its network.
func ownAddress() netip.Addr {
	all, err := net.InterfaceAddrs()
	if err == nil {
		for _, a := range all {
			p, err := netip.ParsePrefix(a.String())
			if err == nil && p.Addr().Is4() && p.Addr().IsGlobalUnicast() {
				return p.Addr()
			}
		}
	}
	return netip.AddrFrom4([4]byte{127, 0, 0, 1})
}

// browse opens the browser. Where that is not to be had, the address is printed
// anyway.
func (a *app) browse(address string) {
	words := map[string][]string{"darwin": {"open"}, "windows": {"rundll32", "url.dll,FileProtocolHandler"}}[runtime.GOOS]
	if words == nil {
		words = []string{"xdg-open"}
	}
	cmd := exec.Command(words[0], append(words[1:], address)...)
	if err := cmd.Start(); err != nil {
		fmt.Fprintln(a.err, "no browser could be opened; type the address into one")
		return
	}
	go func() { _ = cmd.Wait() }() // its end is of no interest
}

// samples gives the examples as designs to start from.
func samples() []web.Sample {
	heron, heronArt := examples.Heron()
	heart, heartArt := examples.Heart()
	return []web.Sample{
		{ID: "heron", Name: "Heron badge", Job: heron.Data, Files: []bench.Upload{{Name: heronArt.Name, Data: heronArt.Data}}},
		{ID: "heart", Name: "Regatta heart", Job: heart.Data, Files: []bench.Upload{{Name: heartArt.Name, Data: heartArt.Data}}},
	}
}

// installedFont reads a face of this machine by its name. Only names of faces that
// the system lists lead to a file.
func installedFont(name string) []byte {
	path := installed(name)
	if path == "" {
		return nil
	}
	data, err := readFile(path)
	if err != nil {
		return nil
	}
	return data
}
