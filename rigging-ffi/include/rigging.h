/*
 * Load distribution, capacity derating and assessment of multi-leg lifts.
 *
 * Results support, and never replace, the planning of the competent person; local codes and licensed practice prevail.
 *
 * Every function that can fail returns a status (RIGGING_OK or another) and takes a rigging_error last, which may be
 * NULL and is written only on failure. Outputs are written only on success. Handles are immutable and may be shared by
 * threads; each is freed by its own function, which takes NULL too. Texts are UTF-8. A document comes out in two calls:
 * with a NULL buffer for its length, then with a buffer of one byte more.
 *
 * This file is generated from the Rust sources; a test compares it.
 */

#ifndef RIGGING_H
#define RIGGING_H

#include <stddef.h>
#include <stdint.h>

/**
 * The call succeeded.
 */
#define RIGGING_OK 0

/**
 * A value lies outside the range in which the calculation means anything.
 */
#define RIGGING_OUT_OF_DOMAIN 1

/**
 * An input that the calculation needs is absent or stated as unknown.
 */
#define RIGGING_MISSING 2

/**
 * The input is sound, but this library does not calculate it.
 */
#define RIGGING_UNSUPPORTED 3

/**
 * Parts of the input contradict each other.
 */
#define RIGGING_INCONSISTENT 4

/**
 * Two items of one kind carry the same name.
 */
#define RIGGING_DUPLICATE_NAME 5

/**
 * A name refers to nothing.
 */
#define RIGGING_UNKNOWN_NAME 6

/**
 * The text is not a document of the expected form.
 */
#define RIGGING_MALFORMED 7

/**
 * A key that the format does not have.
 */
#define RIGGING_UNKNOWN_KEY 8

/**
 * A key stands twice in one object.
 */
#define RIGGING_DUPLICATE_KEY 9

/**
 * A number without a unit where a dimension is needed.
 */
#define RIGGING_BARE_NUMBER 10

/**
 * A unit that means several things, or an angle that does not say from where.
 */
#define RIGGING_AMBIGUOUS_UNIT 11

/**
 * A unit that is not known, or that belongs to another quantity.
 */
#define RIGGING_WRONG_UNIT 12

/**
 * The document is of a newer format than this library reads.
 */
#define RIGGING_NEWER_FORMAT 13

/**
 * A text, list or document exceeds its limit of size or depth.
 */
#define RIGGING_TOO_LARGE 14

/**
 * The iteration ended without a state that could be certified: a defect of the library, worth reporting.
 */
#define RIGGING_UNCONVERGED 15

/**
 * An argument that may not be null is null.
 */
#define RIGGING_NULL_ARGUMENT 100

/**
 * A text is not UTF-8.
 */
#define RIGGING_NOT_UTF8 101

/**
 * The caller's buffer is too small; ask for the length first.
 */
#define RIGGING_BUFFER_TOO_SMALL 102

/**
 * The library stopped inside a calculation: a defect of the library, worth reporting. Nothing was written.
 */
#define RIGGING_INTERNAL 103

/**
 * Size of `rigging_error.message` in bytes, the closing zero included.
 */
#define RIGGING_MESSAGE_SIZE 1024

/**
 * Size of `rigging_error.place` in bytes, the closing zero included.
 */
#define RIGGING_PLACE_SIZE 512

/**
 * Version of the binary interface that this header describes. A program compares it with `rigging_abi_version()`
 * before its first other call.
 */
#define RIGGING_ABI_VERSION 0

/**
 * Why a call failed. The caller owns it; call `rigging_error_init` once before its first use. It is written only when a
 * call fails, and never beyond `struct_size` bytes. New fields will only be added at the end.
 */
typedef struct rigging_error {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * The status that the call returned.
   */
  int32_t code;
  /**
   * The reason: UTF-8, ends with a zero byte, cut between characters when it is too long.
   */
  char message[RIGGING_MESSAGE_SIZE];
  /**
   * The place in the document as a JSON pointer (RFC 6901), empty for the whole document: UTF-8, ends with a zero byte,
   * cut between characters when it is too long.
   */
  char place[RIGGING_PLACE_SIZE];
} rigging_error;

#ifdef __cplusplus
extern "C" {
#endif // __cplusplus

/**
 * Empties an error and notes its size: `rigging_error_init(&error, sizeof error)`. A null `error` is left alone.
 *
 * Requires:
 * `error` is null or points to `size` bytes that may be written, aligned as `rigging_error` is.
 */
void rigging_error_init(struct rigging_error *error, size_t size);

/**
 * Name of a status, such as "missing", or "unknown_status" for a number that is none: never null, never freed.
 */
const char *rigging_status_name(int32_t status);

/**
 * Version of the binary interface of the library that is linked. It changes only when programs must be compiled anew.
 */
uint32_t rigging_abi_version(void);

/**
 * Version of the library, such as "0.1.0": UTF-8, ends with a zero byte, is never freed.
 */
const char *rigging_version(void);

#ifdef __cplusplus
}  // extern "C"
#endif  // __cplusplus

#endif  /* RIGGING_H */
