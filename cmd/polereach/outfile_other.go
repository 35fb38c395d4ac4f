//go:build !unix

package main

import "os"

const locks = false

func hold(*os.File) error { return nil }
