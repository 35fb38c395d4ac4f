//go:build gdal

package gdal

import (
	"container/list"
	"errors"
	"fmt"
	"os"
	"strings"
	"sync"
	"time"

	binding "github.com/lukeroth/gdal"
)

// file is a raster file that is open or parked, that is closed for the time
// being to save handles. Its lock serialises all use of the dataset.
type file struct {
	path   string
	remote bool
	cache  *Cache
	size   int64 // of the file when it was first opened, to notice a change
	time   time.Time

	mu      sync.Mutex
	ds      binding.Dataset
	isOpen  bool
	gone    bool          // closed for good
	element *list.Element // in cache.files, guarded by cache.mu
}

var errClosed = errors.New("the raster has been closed")

// use calls fn with the dataset, opening the file if it is parked.
func (f *file) use(fn func(binding.Dataset) error) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.gone {
		return errClosed
	}
	if !f.isOpen {
		if err := f.open(); err != nil {
			return err
		}
	}
	f.cache.opened(f)
	return fn(f.ds)
}

// open opens the file. The caller holds the lock.
func (f *file) open() error {
	if !f.remote {
		info, err := os.Stat(f.path)
		if err != nil {
			return plainPathError(err)
		}
		if !info.Mode().IsRegular() {
			return fmt.Errorf("now %s, it was a file", kindOf(info))
		}
		if f.time.IsZero() {
			f.size, f.time = info.Size(), info.ModTime()
		} else if f.size != info.Size() || !f.time.Equal(info.ModTime()) {
			return errors.New("changed since it was opened")
		}
	}
	drivers := localDrivers
	if f.remote {
		drivers = nil
	}
	var openErr error
	text := call(f.remote, func() {
		f.ds, openErr = binding.OpenEx(f.path, binding.OFReadOnly|binding.OFRaster|binding.OFVerbose_Error, drivers, nil, nil)
	})
	if openErr != nil {
		if text == nil {
			text = errors.New("not a raster GDAL knows")
		}
		return text
	}
	f.isOpen = true
	return nil
}

// park closes the dataset but lets the file be opened again. The caller holds
// the lock.
func (f *file) park() {
	if f.isOpen {
		_ = call(f.remote, f.ds.Close) // opened for reading: nothing can be lost
		f.ds, f.isOpen = binding.Dataset{}, false
	}
}

// close closes for good; again does nothing.
func (f *file) close() {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.gone = true
	f.park()
	f.cache.closed(f)
}

// plainPathError drops the operation and the path, which the caller states.
func plainPathError(err error) error {
	if errors.Is(err, os.ErrNotExist) {
		return errors.New("no such file")
	}
	var pe *os.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}

// kindOf names what is not a regular file.
func kindOf(info os.FileInfo) string {
	switch m := info.Mode(); {
	case m.IsDir():
		return "a folder"
	case m&os.ModeNamedPipe != 0:
		return "a pipe"
	case m&os.ModeDevice != 0:
		return "a device"
	case m&os.ModeSocket != 0:
		return "a socket"
	}
	return "not a regular file"
}

// localDrivers are the drivers that read local files and nothing else. Left out
// are services, formats that hold the names of other files, databases, and
// formats for pictures.
var localDrivers = strings.Fields(`
	VRT GTiff COG HFA AAIGrid GRASSASCIIGrid ISG AIG SRTMHGT DTED USGSDEM SDTS
	EHdr ENVI GenBin BT Terragen Leveller NITF NWT_GRD NWT_GRC GSAG GSBG GS7BG RST
	SAGA SIGDEM XYZ ZMap GTX KRO RMF PCRaster ROI_PAC RRASTER BYN ARG GXF HF2 CTG
	NGSGEOID ACE2 JDEM LCP JP2OpenJPEG JP2KAK JP2ECW netCDF HDF5 HDF5Image BAG S102
	GRIB GPKG FITS PNG`)
