package main

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"net"
	"os"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"time"

	"go.bug.st/serial"

	"brushfall/internal/fault"
)

// Ways of holding back a serial line.
const (
	flowXonXoff = "xonxoff"
	flowRtsCts  = "rtscts"
	flowNone    = "none"
)

// Sizes of what is on its way. A cutter that says stop still takes serialBlock
// bytes: as much as a machine's buffer keeps free for that (80 bytes and more on
// the HP 7475A). The socket's buffer is small so that a stop is soon felt.
const (
	serialBlock  = 64
	socketBlock  = 1024
	socketBuffer = 4096
	socketAhead  = 4 * socketBuffer // systems double what they are asked for, and fill a packet
	deviceBlock  = 512
	deviceAhead  = 64 << 10 // a pipe's buffer on Linux; printer devices hold less
)

const (
	dialWait = 10 * time.Second
	// farewell is how long the other end may take to close after the last byte.
	farewell = 3 * time.Second
)

// socketForm is HOST:9100, with IPv6 addresses in brackets.
var socketForm = regexp.MustCompile(`^(\[[0-9a-fA-F:.]+\]|[^/\\:]+):([0-9]{1,5})$`)

// portFlags are the settings of a serial line, as they were typed.
type portFlags struct {
	baud  int
	frame string
	flow  string
}

// openLine opens the way to a cutter: HOST:PORT, a serial port, or a device file.
// Faults: "send-port", "send-refused", "send-serial".
func openLine(ctx context.Context, to string, f portFlags) (*line, error) {
	mode, err := f.mode()
	if err != nil {
		return nil, err
	}
	if socketForm.MatchString(to) {
		return dial(ctx, to)
	}
	info, err := os.Stat(to)
	switch {
	case errors.Is(err, fs.ErrNotExist) && strings.ContainsAny(to, `/\`):
		return nil, fault.New("send-port", to, "there is no such port or device; is the cutter on and its cable in?%s", portsFound())
	case err == nil && (info.Mode().IsRegular() || info.IsDir()):
		return nil, fault.New("send-port", to, "this is a file or a folder, not a cutter; give a port, HOST:9100 or a device%s", portsFound())
	case err == nil && info.Mode()&fs.ModeNamedPipe != 0:
		return openDevice(to)
	}
	l, err := openSerial(to, mode, f.flow)
	if e, ok := errors.AsType[*serial.PortError](err); ok && e.Code() == serial.InvalidSerialPort && info != nil {
		return openDevice(to)
	}
	if err != nil {
		return nil, serialFault(to, err)
	}
	return l, nil
}

// mode reads the settings: "8N1" is 8 data bits, no parity, 1 stop bit.
func (f portFlags) mode() (*serial.Mode, error) {
	form := strings.ToUpper(f.frame)
	if f.baud < 75 || f.baud > 4_000_000 {
		return nil, fault.New("usage", "--baud", "%d is no speed of a serial line; 9600 is usual, the cutter's manual says", f.baud)
	}
	parity := map[byte]serial.Parity{'N': serial.NoParity, 'E': serial.EvenParity, 'O': serial.OddParity}
	stop := map[byte]serial.StopBits{'1': serial.OneStopBit, '2': serial.TwoStopBits}
	if !regexp.MustCompile(`^[78][NEO][12]$`).MatchString(form) {
		return nil, fault.New("usage", "--frame", "%q cannot be; give data bits, parity and stop bits such as 8N1 or 7E1", f.frame)
	}
	switch f.flow {
	case flowXonXoff, flowRtsCts, flowNone:
	default:
		return nil, fault.New("usage", "--flow", "there is no flow control %q; choose %s, %s or %s", f.flow, flowXonXoff, flowRtsCts, flowNone)
	}
	bits, _ := strconv.Atoi(form[:1])
	return &serial.Mode{BaudRate: f.baud, DataBits: bits, Parity: parity[form[1]], StopBits: stop[form[2]]}, nil
}

// drained writes to a serial port and waits until the bytes are on the wire, so
// that a cutter that says stop is not run over by what the system holds.
type drained struct{ port serial.Port }

func (d drained) Write(p []byte) (int, error) {
	n, err := d.port.Write(p)
	if err == nil {
		err = d.port.Drain()
	}
	return n, err
}

func openSerial(name string, mode *serial.Mode, how string) (*line, error) {
	port, err := serial.Open(name, mode)
	if err != nil {
		return nil, err
	}
	gone := make(chan error, 1)
	l := &line{to: drained{port}, most: serialBlock, gone: gone}
	var said flow
	switch how {
	case flowXonXoff:
		l.ready = said.open
	case flowRtsCts:
		if _, err := port.GetModemStatusBits(); err != nil {
			port.Close()
			return nil, fault.New("send-serial", name, "this port has no CTS line; use --flow %s or %s", flowXonXoff, flowNone)
		}
		l.ready = func() bool {
			bits, err := port.GetModemStatusBits()
			return err != nil || bits.CTS // the next write meets the error
		}
	}
	go func() {
		buf := make([]byte, 256)
		for {
			n, err := port.Read(buf)
			said.hear(buf[:n])
			if err != nil {
				gone <- errors.New("the serial port went away: is the cutter still on and its cable in?")
				return
			}
		}
	}()
	l.shut = func(stuck bool) error {
		if stuck { // else closing waits for a cutter that takes nothing
			_ = port.ResetOutputBuffer()
		}
		return port.Close()
	}
	return l, nil
}

func serialFault(name string, err error) error {
	e, ok := errors.AsType[*serial.PortError](err)
	if !ok {
		if f, ok := errors.AsType[*fault.Error](err); ok {
			return f
		}
		return fault.New("send-port", name, "the port cannot be opened: %v%s", err, portsFound())
	}
	switch e.Code() {
	case serial.PortBusy:
		return fault.New("send-serial", name, "another program has this port; close it first")
	case serial.PermissionDenied:
		return fault.New("send-serial", name, "this port may not be opened; on Linux add yourself to the group that owns it, often dialout")
	case serial.PortNotFound:
		return fault.New("send-port", name, "there is no such port; is the cutter on and its cable in?%s", portsFound())
	}
	return fault.New("send-serial", name, "the port cannot be set up: %v", err)
}

// portsFound lists the serial ports of this computer for a message.
func portsFound() string {
	ports, err := serial.GetPortsList()
	if err != nil || len(ports) == 0 {
		return ""
	}
	return "; serial ports here: " + strings.Join(ports, ", ")
}

func dial(ctx context.Context, to string) (*line, error) {
	c, err := (&net.Dialer{Timeout: dialWait}).DialContext(ctx, "tcp", to)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		why := "nobody answers there"
		if errors.Is(err, syscall.ECONNREFUSED) {
			why = "the machine is there, but nothing listens at this port"
		}
		return nil, fault.New("send-refused", to, "%s (%v); check that the cutter is on and in the network, its address, and the port, which is 9100 on most", why, err)
	}
	tcp := c.(*net.TCPConn)
	_ = tcp.SetWriteBuffer(socketBuffer) // a larger one costs only a later stop
	gone := make(chan error, 1)
	go func() {
		_, err := io.Copy(io.Discard, tcp)
		if err == nil {
			err = errClosed
		}
		gone <- err
	}()
	l := &line{to: tcp, most: socketBlock, ahead: socketAhead, gone: gone}
	l.last = func() error {
		if err := tcp.CloseWrite(); err != nil {
			return err
		}
		select { // most close when they have all; for the others the system goes on
		case err := <-gone:
			if errors.Is(err, errClosed) {
				return nil
			}
			return err
		case <-time.After(farewell):
			return nil
		}
	}
	l.shut = func(bool) error { return tcp.Close() }
	return l, nil
}

// errClosed is the other end's orderly goodbye: too early while bytes go out.
var errClosed = errors.New("the other end closed it")

// openDevice opens a device file or a pipe. Without waiting: a pipe that nobody
// reads would hold the program up.
func openDevice(name string) (*line, error) {
	f, err := os.OpenFile(name, os.O_WRONLY|syscall.O_NONBLOCK, 0)
	switch {
	case errors.Is(err, fs.ErrPermission):
		return nil, fault.New("send-port", name, "this device may not be written to; on Linux add yourself to the group that owns it, often lp")
	case errors.Is(err, syscall.ENXIO):
		return nil, fault.New("send-refused", name, "nobody reads from this pipe or device")
	case err != nil:
		return nil, fault.New("send-port", name, "the device cannot be opened: %v", errors.Unwrap(err))
	}
	return &line{to: f, most: deviceBlock, ahead: deviceAhead, shut: func(bool) error { return f.Close() }}, nil
}
