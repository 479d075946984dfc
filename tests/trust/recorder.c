/* Notes, in one log, every byte that goes to the files named in RECORD_FILES and every wait for the disk.

   Preloaded into a server (LD_PRELOAD). A record is: kind, file, offset, length (all 64 bits), then the bytes.
   Kinds: 1 write, 2 cut to a length, 3 waited for the disk, 4 removed. The client adds 5, "told", itself.
*/
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <sys/uio.h>
#include <unistd.h>

enum { WRITTEN = 1, CUT = 2, SETTLED = 3, REMOVED = 4, NO_FILE = -1 };

static const char *endings[] = {"shop.sqlite3", "shop.sqlite3-wal", "shop.sqlite3-journal"};

static int log_file(void) {
    static int opened = -1;
    if (opened < 0) opened = open(getenv("RECORD_LOG"), O_WRONLY | O_APPEND | O_CREAT | O_CLOEXEC, 0600);
    return opened;
}

static int which_path(const char *path) {
    size_t length = strlen(path);
    for (int each = 0; each < 3; each++) {
        size_t ending = strlen(endings[each]);
        if (length > ending && path[length - ending - 1] == '/' && !strcmp(path + length - ending, endings[each]))
            return each;
    }
    return NO_FILE;
}

static int which(int descriptor) {
    char link[64], path[4096];
    snprintf(link, sizeof link, "/proc/self/fd/%d", descriptor);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length < 0) return NO_FILE;
    path[length] = 0;
    return which_path(path);
}

/* One call of writev, to a file opened for appending: records of several processes do not mix. */
static void note(int64_t kind, int64_t file, int64_t offset, const void *bytes, int64_t length) {
    int64_t head[4] = {kind, file, offset, length};
    struct iovec parts[2] = {{head, sizeof head}, {(void *)bytes, bytes ? (size_t)length : 0}};
    static ssize_t (*real)(int, const struct iovec *, int);
    if (!real) real = dlsym(RTLD_NEXT, "writev");
    if (real(log_file(), parts, 2) < 0) abort();
}

#define REAL(name) static __typeof__(&name) real; if (!real) real = dlsym(RTLD_NEXT, #name)

ssize_t pwrite64(int descriptor, const void *bytes, size_t length, off64_t offset) {
    REAL(pwrite64);
    ssize_t done = real(descriptor, bytes, length, offset);
    int file = which(descriptor);
    if (file >= 0 && done > 0) note(WRITTEN, file, offset, bytes, done);
    return done;
}

ssize_t pwrite(int descriptor, const void *bytes, size_t length, off_t offset) {
    return pwrite64(descriptor, bytes, length, offset);
}

ssize_t write(int descriptor, const void *bytes, size_t length) {
    REAL(write);
    int file = which(descriptor);
    off_t offset = file >= 0 ? lseek(descriptor, 0, SEEK_CUR) : 0;
    ssize_t done = real(descriptor, bytes, length);
    if (file >= 0 && done > 0) note(WRITTEN, file, offset, bytes, done);
    return done;
}

int ftruncate64(int descriptor, off64_t length) {
    REAL(ftruncate64);
    int done = real(descriptor, length), file = which(descriptor);
    if (file >= 0 && !done) note(CUT, file, length, NULL, 0);
    return done;
}

int ftruncate(int descriptor, off_t length) { return ftruncate64(descriptor, length); }

/* Noted once it has come back: what was written before it is on the disk from here on. */
int fdatasync(int descriptor) {
    REAL(fdatasync);
    int done = real(descriptor), file = which(descriptor);
    if (file >= 0 && !done) note(SETTLED, file, 0, NULL, 0);
    return done;
}

int fsync(int descriptor) {
    REAL(fsync);
    int done = real(descriptor), file = which(descriptor);
    if (file >= 0 && !done) note(SETTLED, file, 0, NULL, 0);
    return done;
}

int unlink(const char *path) {
    REAL(unlink);
    int done = real(path), file = which_path(path);
    if (file >= 0 && !done) note(REMOVED, file, 0, NULL, 0);
    return done;
}
