/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/version.h - the library's version, the same as the command's.
 */
#ifndef TALLWIDE_VERSION_H
#define TALLWIDE_VERSION_H

#define TW_VERSION "0.1.0"

#endif
