"""The pure part: geometry, scope, film, work, time, price and light as functions over frozen values.

Standard library, numpy and shapely only. No web, no database, no clock, no locale, no drawing.
Units: millimetres, square metres, minutes of work, aware datetimes, `Decimal` money.
"""
