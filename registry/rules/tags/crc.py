"""The check sum of a raw telegram.

Source: ISO 11785, polynomial x^16 + x^12 + x^5 + 1 from 0000, least significant bit first: catalogued as CRC-16/KERMIT.
"""

_POLYNOMIAL = 0x8408  # 0x1021 with its bits in the order in which they are taken


def crc16(data: bytes) -> int:
    """Return the CRC-16/KERMIT of bytes.

    >>> hex(crc16(b"123456789"))
    '0x2189'
    """
    register = 0
    for byte in data:
        register ^= byte
        for _ in range(8):
            register = register >> 1 ^ (_POLYNOMIAL if register & 1 else 0)
    return register


def crc_of_code(bits: int) -> int:
    """Return the check sum of the 64 bits of a code: the least significant byte goes first."""
    return crc16(bits.to_bytes(8, "little"))
