package cli

import (
	"context"
	"io"
	"net"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A request that has begun is answered though the program is told to end; the
// program then ends well, and takes no new one.
func TestEndsAfterTheLastAnswer(t *testing.T) {
	l, err := net.Listen("tcp", "localhost:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	begun, goOn := make(chan bool), make(chan bool)
	handler := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		begun <- true
		<-goOn
		io.WriteString(w, "the answer")
	})
	ended, answered := make(chan error), make(chan string)
	go func() { ended <- serve(ctx, l, handler) }()
	address := "http://" + l.Addr().String()
	go func() {
		res, err := http.Get(address)
		if err != nil {
			answered <- err.Error()
			return
		}
		defer res.Body.Close()
		body, _ := io.ReadAll(res.Body)
		answered <- string(body)
	}()
	<-begun
	stop()
	require.Eventually(t, func() bool {
		c, err := net.Dial("tcp", l.Addr().String())
		if err == nil {
			c.Close()
		}
		return err != nil
	}, 10*time.Second, time.Millisecond, "the door is shut")
	close(goOn)
	require.Equal(t, "the answer", <-answered)
	require.NoError(t, <-ended)
}
