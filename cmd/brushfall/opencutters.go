package main

import (
	"cmp"
	"context"
	"net"
	"net/netip"
	"slices"
	"strings"

	"go.bug.st/serial"

	"brushfall/internal/fault"
	"brushfall/internal/web"
)

// cutters are the ways to cutters that the workbench may use: the serial ports that
// the system lists, and machines in the local network. Any other name, such as that
// of a file, is refused before anything is opened.
type cutters struct{}

var _ web.Cutters = cutters{}

// Ports is of web.Cutters.
func (cutters) Ports() []string {
	ports, err := serial.GetPortsList()
	if err != nil {
		return nil
	}
	slices.Sort(ports)
	return ports
}

// Open is of web.Cutters.
func (c cutters) Open(ctx context.Context, to string, l web.Line) (web.Link, error) {
	if socketForm.MatchString(to) {
		var err error
		if to, err = nearby(ctx, to); err != nil {
			return nil, err
		}
	} else if !slices.Contains(c.Ports(), to) {
		return nil, fault.New("send-port", to, "the workbench sends to the serial ports of this computer and to HOST:9100 in the local network; for a device file use brushfall cut%s", portsFound())
	}
	f := portFlags{baud: cmp.Or(l.Baud, 9600), frame: cmp.Or(l.Frame, "8N1"), flow: cmp.Or(l.Flow, flowXonXoff)}
	opened, err := openLine(ctx, to, f)
	if err != nil {
		return nil, err
	}
	return link{opened}, nil
}

// link is a line as the workbench wants it.
type link struct{ *line }

// Shut is of web.Link.
func (l link) Shut(stuck bool) error { return l.shut(stuck) }

// nearby gives the address of a host, and refuses those that are not in a private
// network (RFC 1918, RFC 4193), on this computer or on its link: what is sent to a
// cutter shall not leave the house. The address is what is called, so that the name
// cannot lead elsewhere by then.
func nearby(ctx context.Context, to string) (string, error) {
	host, port, err := net.SplitHostPort(to)
	if err != nil {
		return "", fault.New("send-port", to, "this is no address; write it like 192.168.1.40:9100")
	}
	found, err := net.DefaultResolver.LookupNetIP(ctx, "ip", strings.Trim(host, "[]"))
	if err != nil || len(found) == 0 {
		return "", fault.New("send-refused", to, "there is no machine of this name in the network; check its address")
	}
	if i := slices.IndexFunc(found, func(a netip.Addr) bool { return !isNear(a.Unmap()) }); i >= 0 {
		return "", fault.New("send-port", to, "%s is not in the local network; a cutter is", found[i])
	}
	return net.JoinHostPort(found[0].Unmap().String(), port), nil
}

func isNear(a netip.Addr) bool { return a.IsLoopback() || a.IsPrivate() || a.IsLinkLocalUnicast() }
