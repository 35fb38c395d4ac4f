package attack

import "testing"

func (c *campaign) odd(t *testing.T, share float64)     {}
func (c *campaign) kills(t *testing.T, share float64)   {}
func (c *campaign) signals(t *testing.T, share float64) {}
func (c *campaign) disks(t *testing.T, share float64)   {}
func (c *campaign) fuzz(t *testing.T, share float64)    {}
