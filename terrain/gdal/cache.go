//go:build gdal

package gdal

import (
	"container/list"
	"sync"
)

// defaultCacheBytes leaves room for a heap of twice the size, for GDAL's own
// cache and for the program within 512 MiB.
const defaultCacheBytes = 128 << 20

// maxOpenFiles bounds the files kept open; a process has 1024 or fewer to give
// on many systems, and a VRT opens more behind the scenes.
const maxOpenFiles = 64

// Cache keeps the blocks of rasters read last, within a bound of bytes, the
// files used last, and one transformation for each coordinate system. It is
// safe for concurrent use.
type Cache struct {
	limit int64

	mu     sync.Mutex
	used   int64
	blocks map[blockKey]*list.Element
	lru    *list.List // of blockEntry, the one used last in front

	files *list.List // of *file, open ones, the one used last in front

	systems map[string]*transformer // by WKT
}

// blockKey names a block: the raster by a number no other ever gets, and the
// place of the block among those of the raster.
type blockKey struct {
	raster   uint64
	col, row int32
}

type blockEntry struct {
	key  blockKey
	data []float32
}

// NewCache returns a cache that keeps up to the given number of bytes of
// heights; 0 or less means 128 MiB.
func NewCache(bytes int64) *Cache {
	if bytes <= 0 {
		bytes = defaultCacheBytes
	}
	return &Cache{
		limit: bytes, blocks: map[blockKey]*list.Element{}, lru: list.New(), files: list.New(),
		systems: map[string]*transformer{},
	}
}

// sharedCache serves rasters opened without a cache of their own.
var sharedCache = sync.OnceValue(func() *Cache { return NewCache(0) })

// get returns a block, nil if it is not kept.
func (c *Cache) get(key blockKey) []float32 {
	c.mu.Lock()
	defer c.mu.Unlock()
	e := c.blocks[key]
	if e == nil {
		return nil
	}
	c.lru.MoveToFront(e)
	return e.Value.(blockEntry).data
}

// put keeps a block and lets go of those unused for longest. A block larger
// than the whole cache is not kept.
func (c *Cache) put(key blockKey, data []float32) {
	size := 4 * int64(len(data))
	if size > c.limit {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if e := c.blocks[key]; e != nil {
		c.drop(e)
	}
	for c.used > c.limit-size {
		c.drop(c.lru.Back())
	}
	c.blocks[key] = c.lru.PushFront(blockEntry{key, data})
	c.used += size
}

func (c *Cache) drop(e *list.Element) {
	entry := c.lru.Remove(e).(blockEntry)
	delete(c.blocks, entry.key)
	c.used -= 4 * int64(len(entry.data))
}

// forget drops the blocks of a raster that is gone.
func (c *Cache) forget(raster uint64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for key, e := range c.blocks {
		if key.raster == raster {
			c.drop(e)
		}
	}
}

// opened notes that f, whose lock the caller holds, was just used and is open,
// and closes files unused for longest beyond the bound. A file that is being
// read is passed over.
func (c *Cache) opened(f *file) {
	c.mu.Lock()
	if f.element == nil {
		f.element = c.files.PushFront(f)
	} else {
		c.files.MoveToFront(f.element)
	}
	var surplus []*file
	for e := c.files.Back(); e != nil && c.files.Len() > maxOpenFiles; {
		old, before := e.Value.(*file), e.Prev()
		if old != f && old.mu.TryLock() {
			c.files.Remove(e)
			old.element = nil
			surplus = append(surplus, old)
		}
		e = before
	}
	c.mu.Unlock()
	for _, old := range surplus {
		old.park()
		old.mu.Unlock()
	}
}

// closed notes that f, whose lock the caller holds, is no longer open.
func (c *Cache) closed(f *file) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if f.element != nil {
		c.files.Remove(f.element)
		f.element = nil
	}
}
