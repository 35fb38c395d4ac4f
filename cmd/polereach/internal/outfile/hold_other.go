//go:build !unix

package outfile

import "os"

const locks = false

func hold(*os.File) error { return nil }
