/* SPDX-License-Identifier: Apache-2.0
 *
 * Runs a fuzz target over every file of the folders named, without a fuzzer: what once broke must not break again.
 */
#define _POSIX_C_SOURCE 200809L
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>

#include "fuzz.h"

static char *read_file(const char *path, size_t *len)
{
    FILE *f = fopen(path, "rb");
    if (f == NULL)
        return NULL;
    char *bytes = NULL;
    size_t cap = 0, n;
    *len = 0;
    do {
        cap = cap == 0 ? 4096 : cap * 2;
        bytes = realloc(bytes, cap);
        if (bytes == NULL)
            abort();
        n = fread(bytes + *len, 1, cap - *len, f);
        *len += n;
    } while (*len == cap);
    fclose(f);
    return realloc(bytes, *len > 0 ? *len : 1); /* no room behind, so that a step too far is seen */
}

static size_t replay(const char *folder)
{
    DIR *dir = opendir(folder);
    size_t count = 0;
    if (dir == NULL)
        return 0;
    for (struct dirent *e; (e = readdir(dir)) != NULL;) {
        char path[4096];
        size_t len;
        snprintf(path, sizeof path, "%s/%s", folder, e->d_name);
        char *bytes = e->d_name[0] != '.' ? read_file(path, &len) : NULL;
        if (bytes == NULL)
            continue;
        printf("%s\n", path);
        fflush(stdout); /* the last one named is the one that broke */
        LLVMFuzzerTestOneInput((const uint8_t *)bytes, len);
        free(bytes);
        count++;
    }
    closedir(dir);
    return count;
}

int main(int argc, char **argv)
{
    size_t count = 0;
    for (int i = 1; i < argc; i++)
        count += replay(argv[i]);
    printf("%zu inputs\n", count);
    return count > 0 ? 0 : 1;
}
