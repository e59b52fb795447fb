/* SPDX-License-Identifier: Apache-2.0
 *
 * The n-th call of the tool's own for memory fails, in a build with the address sanitizer, which takes no preloaded
 * malloc: linked in with -Wl,--wrap. TW_FAULT is "malloc:7"; TW_FAULT_HIT names a file that is made when it was
 * reached.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);

static int strikes(void)
{
    static long calls;
    const char *fault = getenv("TW_FAULT"), *hit = getenv("TW_FAULT_HIT");
    if (fault == NULL || strncmp(fault, "malloc:", 7) != 0 || ++calls != strtol(fault + 7, NULL, 10))
        return 0;
    FILE *f = hit != NULL ? fopen(hit, "w") : NULL;
    if (f != NULL)
        fclose(f);
    return 1;
}

void *__wrap_malloc(size_t size)
{
    return strikes() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
    return strikes() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *old, size_t size)
{
    return strikes() ? NULL : __real_realloc(old, size);
}
