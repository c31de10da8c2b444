package cli

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/signal"
	"syscall"
	"time"
)

// The times that a request may take: an answer is ready within milliseconds, the
// rest is the network.
const (
	readTime  = 10 * time.Second
	writeTime = 10 * time.Second
	idleTime  = time.Minute
)

// Serve answers requests to addr, which it writes to stdout as it came to be, until
// ctx ends or the program is told to, and then those that have begun.
func Serve(ctx context.Context, stdout io.Writer, addr string, h http.Handler) error {
	l, err := net.Listen("tcp", addr)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	fmt.Fprintf(stdout, "http://%s/\n", l.Addr())
	return serve(ctx, l, h)
}

func serve(ctx context.Context, l net.Listener, h http.Handler) error {
	server := &http.Server{Handler: h, ReadHeaderTimeout: readTime, ReadTimeout: readTime, WriteTimeout: writeTime, IdleTimeout: idleTime}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(l) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.Background(), readTime+writeTime)
	defer cancel()
	return server.Shutdown(last)
}
