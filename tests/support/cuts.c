/* Stands between a program and the system: logs what is written under one folder, and lets calls fail.
 *
 * Loaded with LD_PRELOAD (Linux, 64 bit). `cuts.py` reads the log and rebuilds the disk as a power
 * cut would have left it. What the model of `cuts.py` does not know (links, mapped writes, folders
 * that are made) is logged as strange, so that it fails a test instead of being overlooked.
 *
 *   CUTS_UNDER   the folder, absolute and free of links
 *   CUTS_LOG     where the log goes; nothing is logged where it is not set
 *   cuts_mark    puts words of the program into the log: "this act was acknowledged"
 *   cuts_watch   watches another folder from now on
 *   cuts_log     logs into another file from now on
 *   cuts_arm     lets the n-th call of some kinds fail, and later calls of other kinds
 *   cuts_calls   how many calls of the kinds that were armed there were since
 */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <sys/uio.h>
#include <unistd.h>

enum { OPEN = 1, CREATE = 2, WRITE = 4, SYNC = 8, GROW = 16, SHRINK = 32, UNLINK = 64,
       RENAME = 128, READ = 256 };
enum { FDS = 4096 };

struct entry { uint32_t kind; int32_t fd; int64_t number; uint32_t words; uint32_t bytes; };

static pthread_mutex_t turn = PTHREAD_RECURSIVE_MUTEX_INITIALIZER_NP;
static char under[PATH_MAX];
static int log_fd = -1;
static char watched[FDS];
static long count, fail_at;
static int fail_with, first_kinds, later_kinds;

void cuts_log(const char *path) {
  log_fd = syscall(SYS_openat, AT_FDCWD, path, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
}

void cuts_watch(const char *folder) {
  memset(watched, 0, sizeof watched);
  strncpy(under, folder, sizeof under - 1);
}

__attribute__((constructor)) static void start(void) {
  const char *folder = getenv("CUTS_UNDER"), *log = getenv("CUTS_LOG");
  if (folder) cuts_watch(folder);
  if (log) cuts_log(log);
}

static void put(const void *data, size_t size) {
  const char *from = data;
  while (size) {
    ssize_t done = syscall(SYS_write, log_fd, from, size);
    if (done <= 0) abort();
    from += done;
    size -= done;
  }
}

static void note(char kind, int fd, int64_t number, const char *words, size_t words_size,
                 const void *data, size_t size) {
  if (log_fd < 0) return;
  struct entry entry = {kind, fd, number, words_size, size};
  put(&entry, sizeof entry);
  put(words, words_size);
  put(data, size);
}

static void strange(const char *call) { note('x', -1, 0, call, strlen(call), "", 0); }

/* The name of a path inside the folder, "" for the folder itself, NULL for anything else. */
static const char *inside(int at, const char *path, char *room) {
  size_t size = strlen(under);
  if (!size || !path) return NULL;
  if (path[0] != '/') {
    if (at != AT_FDCWD || !getcwd(room, PATH_MAX)) return NULL;
    if (strlen(room) + strlen(path) + 2 > PATH_MAX) return NULL;
    strcat(strcat(room, "/"), path);
    path = room;
  }
  if (strncmp(path, under, size)) return NULL;
  if (!path[size]) return path + size;
  return path[size] == '/' ? path + size + 1 : NULL;
}

static int is_watched(int fd) { return fd >= 0 && fd < FDS && watched[fd]; }

/* Count a call; tell whether it is to fail. */
static int fails(int kind) {
  int hit = 0;
  if (kind & first_kinds) {
    count++;
    hit = count == fail_at;
  }
  hit = hit || (fail_at && count >= fail_at && (kind & later_kinds));
  if (hit) errno = fail_with;
  return hit;
}

void cuts_mark(const char *words) {
  pthread_mutex_lock(&turn);
  note('m', -1, 0, "", 0, words, strlen(words));
  pthread_mutex_unlock(&turn);
}

void cuts_arm(long at, int with, int first, int later) {
  count = 0;
  fail_at = at;
  fail_with = with;
  first_kinds = first;
  later_kinds = later;
}

long cuts_calls(void) { return count; }

static int opening(int at, const char *path, int flags, mode_t mode) {
  char room[PATH_MAX];
  const char *name = inside(at, path, room);
  if (!name) return syscall(SYS_openat, at, path, flags, mode);
  pthread_mutex_lock(&turn);
  struct stat seen;
  int creates = (flags & O_CREAT) && fstatat(at, path, &seen, AT_SYMLINK_NOFOLLOW);
  int fd = -1;
  if (!fails(creates ? CREATE : OPEN)) fd = syscall(SYS_openat, at, path, flags, mode);
  if (fd >= FDS) abort();
  if (fd >= 0) {
    int kept = errno;
    watched[fd] = 1;
    note('o', fd, flags, name, strlen(name), "", 0);
    if ((flags & O_TMPFILE) == O_TMPFILE) strange("O_TMPFILE");
    errno = kept;
  }
  pthread_mutex_unlock(&turn);
  return fd;
}

static mode_t mode_of(int flags, va_list rest) {
  return (flags & O_CREAT) || (flags & O_TMPFILE) == O_TMPFILE ? va_arg(rest, mode_t) : 0;
}

#define OPENS(NAME)                          \
  int NAME(const char *path, int flags, ...) { \
    va_list rest;                            \
    va_start(rest, flags);                   \
    mode_t mode = mode_of(flags, rest);      \
    va_end(rest);                            \
    return opening(AT_FDCWD, path, flags, mode); \
  }
#define OPENS_AT(NAME)                               \
  int NAME(int at, const char *path, int flags, ...) { \
    va_list rest;                                    \
    va_start(rest, flags);                           \
    mode_t mode = mode_of(flags, rest);              \
    va_end(rest);                                    \
    return opening(at, path, flags, mode);           \
  }
OPENS(open)
OPENS(open64)
OPENS_AT(openat)
OPENS_AT(openat64)
int __open_2(const char *path, int flags) { return opening(AT_FDCWD, path, flags, 0); }
int __open64_2(const char *path, int flags) { return opening(AT_FDCWD, path, flags, 0); }
int creat(const char *path, mode_t mode) {
  return opening(AT_FDCWD, path, O_CREAT | O_WRONLY | O_TRUNC, mode);
}
int creat64(const char *path, mode_t mode) { return creat(path, mode); }

static ssize_t writing(int fd, const void *data, size_t size, off_t offset) {
  int placed = offset >= 0;
  pthread_mutex_lock(&turn);
  if (!placed) {
    struct stat seen;
    int appends = syscall(SYS_fcntl, fd, F_GETFL) & O_APPEND;
    offset = appends && !fstat(fd, &seen) ? seen.st_size : lseek(fd, 0, SEEK_CUR);
  }
  ssize_t done = -1;
  if (!fails(WRITE))
    done = placed ? syscall(SYS_pwrite64, fd, data, size, offset) : syscall(SYS_write, fd, data, size);
  int kept = errno;
  if (done > 0) note('w', fd, offset, "", 0, data, done);
  errno = kept;
  pthread_mutex_unlock(&turn);
  return done;
}

ssize_t write(int fd, const void *data, size_t size) {
  return is_watched(fd) ? writing(fd, data, size, -1) : syscall(SYS_write, fd, data, size);
}
ssize_t pwrite(int fd, const void *data, size_t size, off_t offset) {
  return is_watched(fd) ? writing(fd, data, size, offset) : syscall(SYS_pwrite64, fd, data, size, offset);
}
ssize_t pwrite64(int fd, const void *data, size_t size, off64_t offset) {
  return pwrite(fd, data, size, offset);
}

ssize_t pread(int fd, void *data, size_t size, off_t offset) {
  if (is_watched(fd) && fails(READ)) return -1;
  return syscall(SYS_pread64, fd, data, size, offset);
}
ssize_t pread64(int fd, void *data, size_t size, off64_t offset) { return pread(fd, data, size, offset); }

int ftruncate(int fd, off_t size) {
  if (!is_watched(fd)) return syscall(SYS_ftruncate, fd, size);
  pthread_mutex_lock(&turn);
  struct stat seen = {0};
  fstat(fd, &seen);
  int done = fails(size > seen.st_size ? GROW : SHRINK) ? -1 : (int)syscall(SYS_ftruncate, fd, size);
  int kept = errno;
  if (!done) note('t', fd, size, "", 0, "", 0);
  errno = kept;
  pthread_mutex_unlock(&turn);
  return done;
}
int ftruncate64(int fd, off64_t size) { return ftruncate(fd, size); }

static int syncing(int fd, long call) {
  if (!is_watched(fd)) return syscall(call, fd);
  pthread_mutex_lock(&turn);
  int done = fails(SYNC) ? -1 : (int)syscall(call, fd);
  int kept = errno;
  if (!done) note('s', fd, 0, "", 0, "", 0);
  errno = kept;
  pthread_mutex_unlock(&turn);
  return done;
}
int fsync(int fd) { return syncing(fd, SYS_fsync); }
int fdatasync(int fd) { return syncing(fd, SYS_fdatasync); }

int unlinkat(int at, const char *path, int flags) {
  char room[PATH_MAX];
  const char *name = inside(at, path, room);
  if (!name) return syscall(SYS_unlinkat, at, path, flags);
  pthread_mutex_lock(&turn);
  int done = fails(UNLINK) ? -1 : (int)syscall(SYS_unlinkat, at, path, flags);
  int kept = errno;
  if (!done) note('u', -1, 0, name, strlen(name), "", 0);
  errno = kept;
  pthread_mutex_unlock(&turn);
  return done;
}
int unlink(const char *path) { return unlinkat(AT_FDCWD, path, 0); }

int renameat2(int from, const char *old, int to, const char *new, unsigned flags) {
  char room[PATH_MAX], other[PATH_MAX], both[2 * PATH_MAX];
  const char *source = inside(from, old, room), *target = inside(to, new, other);
  if (!source && !target) return syscall(SYS_renameat2, from, old, to, new, flags);
  pthread_mutex_lock(&turn);
  if (!source || !target || flags) strange("rename across the folder");
  int done = fails(RENAME) ? -1 : (int)syscall(SYS_renameat2, from, old, to, new, flags);
  int kept = errno;
  if (!done && source && target) {
    size_t size = strlen(source) + 1;
    strcpy(both, source);
    strcpy(both + size, target);
    note('r', -1, 0, both, size + strlen(target), "", 0);
  }
  errno = kept;
  pthread_mutex_unlock(&turn);
  return done;
}
int renameat(int from, const char *old, int to, const char *new) { return renameat2(from, old, to, new, 0); }
int rename(const char *old, const char *new) { return renameat2(AT_FDCWD, old, AT_FDCWD, new, 0); }

int close(int fd) {
  if (is_watched(fd)) {
    pthread_mutex_lock(&turn);
    watched[fd] = 0;
    note('c', fd, 0, "", 0, "", 0);
    pthread_mutex_unlock(&turn);
  }
  return syscall(SYS_close, fd);
}

/* What the model does not know. */
#define STRANGE_AT(IS, CALL) if (IS) strange(CALL)
int linkat(int from, const char *old, int to, const char *new, int flags) {
  char room[PATH_MAX];
  STRANGE_AT(inside(to, new, room), "link");
  return syscall(SYS_linkat, from, old, to, new, flags);
}
int link(const char *old, const char *new) { return linkat(AT_FDCWD, old, AT_FDCWD, new, 0); }
int mkdirat(int at, const char *path, mode_t mode) {
  char room[PATH_MAX];
  STRANGE_AT(inside(at, path, room), "mkdir");
  return syscall(SYS_mkdirat, at, path, mode);
}
int mkdir(const char *path, mode_t mode) { return mkdirat(AT_FDCWD, path, mode); }
int truncate(const char *path, off_t size) {
  char room[PATH_MAX];
  STRANGE_AT(inside(AT_FDCWD, path, room), "truncate");
  return syscall(SYS_truncate, path, size);
}
int truncate64(const char *path, off64_t size) { return truncate(path, size); }
ssize_t writev(int fd, const struct iovec *parts, int n) {
  STRANGE_AT(is_watched(fd), "writev");
  return syscall(SYS_writev, fd, parts, n);
}
int fallocate(int fd, int mode, off_t offset, off_t size) {
  STRANGE_AT(is_watched(fd), "fallocate");
  return syscall(SYS_fallocate, fd, mode, offset, size);
}
int fallocate64(int fd, int mode, off64_t offset, off64_t size) { return fallocate(fd, mode, offset, size); }
int posix_fallocate(int fd, off_t offset, off_t size) { return fallocate(fd, 0, offset, size) ? errno : 0; }
int posix_fallocate64(int fd, off64_t offset, off64_t size) { return posix_fallocate(fd, offset, size); }
ssize_t sendfile(int to, int from, off_t *offset, size_t size) {
  STRANGE_AT(is_watched(to), "sendfile");
  return syscall(SYS_sendfile, to, from, offset, size);
}
ssize_t sendfile64(int to, int from, off64_t *offset, size_t size) { return sendfile(to, from, offset, size); }
ssize_t copy_file_range(int from, off64_t *a, int to, off64_t *b, size_t size, unsigned flags) {
  STRANGE_AT(is_watched(to), "copy_file_range");
  return syscall(SYS_copy_file_range, from, a, to, b, size, flags);
}
int dup(int fd) {
  STRANGE_AT(is_watched(fd), "dup");
  return syscall(SYS_dup, fd);
}
void *mmap(void *at, size_t size, int may, int flags, int fd, off_t offset) {
  STRANGE_AT(is_watched(fd) && (flags & MAP_SHARED) && (may & PROT_WRITE), "mmap");
  return (void *)syscall(SYS_mmap, at, size, may, flags, fd, offset);
}
void *mmap64(void *at, size_t size, int may, int flags, int fd, off64_t offset) {
  return mmap(at, size, may, flags, fd, offset);
}
