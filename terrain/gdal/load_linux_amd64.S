//go:build gdal && !asan

/* GDAL and the hundred libraries below it take 30 ms to load. Each function of it that the
   binding or shim.c calls has a stub of its name here, hidden, which jumps through a slot. As
   all are found in the program, the linker leaves the library out (--as-needed); the first
   call fills the slots (load_linux_amd64.c). A name that is missing here does no harm but that
   the library is loaded at the start. The names: nm -D of a program linked without this file. */

#define INDEX %r11

	.set index, 0

/* A stub, its slot, and its name. The slot begins with what loads the library. */
.macro stub name
	.section .text
	.globl \name
	.hidden \name
	.type \name, @function
\name:
	endbr64
	mov $index, %r11d
	lea polereach_slots(%rip), %r10
	jmp *(%r10, INDEX, 8)
	.size \name, . - \name
	.section .data.polereach_slots, "aw"
	.quad first_call
	.section .rodata.polereach_names, "a"
	.asciz "\name"
	.set index, index + 1
.endm

/* Many. */
.macro stubs names:vararg
	.irp name, \names
	stub \name
	.endr
.endm

	.section .data.polereach_slots, "aw"
	.balign 8
	.globl polereach_slots
	.hidden polereach_slots
polereach_slots:
	.section .rodata.polereach_names, "a"
	.globl polereach_names
	.hidden polereach_names
polereach_names:

/* Every register that may hold an argument is kept (System V ABI, AMD64 supplement, 3.2.3),
   and the number of the stub. */
	.section .text
first_call:
	push %rbp
	mov %rsp, %rbp
	push %rdi
	push %rsi
	push %rdx
	push %rcx
	push %r8
	push %r9
	push %rax
	push INDEX
	sub $128, %rsp
	and $-16, %rsp
	movups %xmm0, (%rsp)
	movups %xmm1, 16(%rsp)
	movups %xmm2, 32(%rsp)
	movups %xmm3, 48(%rsp)
	movups %xmm4, 64(%rsp)
	movups %xmm5, 80(%rsp)
	movups %xmm6, 96(%rsp)
	movups %xmm7, 112(%rsp)
	call polereach_load_or_end
	movups (%rsp), %xmm0
	movups 16(%rsp), %xmm1
	movups 32(%rsp), %xmm2
	movups 48(%rsp), %xmm3
	movups 64(%rsp), %xmm4
	movups 80(%rsp), %xmm5
	movups 96(%rsp), %xmm6
	movups 112(%rsp), %xmm7
	lea -64(%rbp), %rsp
	pop INDEX
	pop %rax
	pop %r9
	pop %r8
	pop %rcx
	pop %rdx
	pop %rsi
	pop %rdi
	pop %rbp
	lea polereach_slots(%rip), %r10
	jmp *(%r10, INDEX, 8)

	stubs CPLCalloc,CPLError,CPLErrorReset,CPLGetConfigOption,CPLGetLastErrorMsg,CPLGetLastErrorType
	stubs CPLHTTPPopFetchCallback,CPLHTTPPushFetchCallback,CPLMalloc,CPLPopErrorHandler,CPLPushErrorHandler
	stubs CPLQuietErrorHandler,CPLSetConfigOption,CPLSetErrorHandler,CPLSetThreadLocalConfigOption,CPLStrdup
	stubs GDALAddBand,GDALAutoCreateWarpedVRT,GDALBuildOverviews,GDALBuildVRT,GDALBuildVRTOptionsFree
	stubs GDALBuildVRTOptionsNew,GDALChecksumImage,GDALCloneColorTable,GDALClose,GDALComputeMedianCutPCT
	stubs GDALComputeProximity,GDALComputeRasterMinMax,GDALComputeRasterStatistics,GDALContourGenerate
	stubs GDALCopyDatasetFiles,GDALCreate,GDALCreateColorRamp,GDALCreateColorTable,GDALCreateCopy
	stubs GDALCreateDatasetMaskBand,GDALCreateMaskBand,GDALCreateRasterAttributeTable,GDALDEMProcessing
	stubs GDALDEMProcessingOptionsFree,GDALDEMProcessingOptionsNew,GDALDataTypeIsComplex,GDALDataTypeUnion
	stubs GDALDatasetAdviseRead,GDALDatasetCopyLayer,GDALDatasetCopyWholeRaster,GDALDatasetCreateLayer
	stubs GDALDatasetExecuteSQL,GDALDatasetGetLayer,GDALDatasetGetLayerByName,GDALDatasetRasterIO
	stubs GDALDatasetReleaseResultSet,GDALDeleteDataset,GDALDereferenceDataset,GDALDeregisterDriver
	stubs GDALDestroyColorTable,GDALDestroyDriver,GDALDestroyDriverManager,GDALDestroyRasterAttributeTable
	stubs GDALDestroyScaledProgress,GDALDitherRGB2PCT,GDALDummyProgress,GDALFPolygonize,GDALFillNodata
	stubs GDALFillRaster,GDALFlushCache,GDALFlushCacheBlock,GDALFlushRasterCache,GDALGetAccess
	stubs GDALGetAsyncStatusTypeByName,GDALGetAsyncStatusTypeName,GDALGetBandDataset,GDALGetBandNumber
	stubs GDALGetBlockSize,GDALGetCacheMax64,GDALGetCacheUsed64,GDALGetColorEntry,GDALGetColorEntryCount
	stubs GDALGetColorInterpretationByName,GDALGetColorInterpretationName,GDALGetDataCoverageStatus
	stubs GDALGetDataTypeName,GDALGetDataTypeSize,GDALGetDatasetDriver,GDALGetDefaultHistogramEx,GDALGetDefaultRAT
	stubs GDALGetDescription,GDALGetDriver,GDALGetDriverByName,GDALGetDriverCount,GDALGetDriverLongName
	stubs GDALGetDriverShortName,GDALGetFileList,GDALGetGCPCount,GDALGetGCPProjection,GDALGetGeoTransform
	stubs GDALGetInternalHandle,GDALGetMaskBand,GDALGetMaskFlags,GDALGetMetadata,GDALGetMetadataItem
	stubs GDALGetOverview,GDALGetOverviewCount,GDALGetPaletteInterpretation,GDALGetPaletteInterpretationName
	stubs GDALGetProjectionRef,GDALGetRasterAccess,GDALGetRasterBand,GDALGetRasterBandXSize,GDALGetRasterBandYSize
	stubs GDALGetRasterCategoryNames,GDALGetRasterColorInterpretation,GDALGetRasterColorTable,GDALGetRasterCount
	stubs GDALGetRasterDataType,GDALGetRasterHistogramEx,GDALGetRasterMaximum,GDALGetRasterMinimum
	stubs GDALGetRasterNoDataValue,GDALGetRasterOffset,GDALGetRasterScale,GDALGetRasterStatistics
	stubs GDALGetRasterUnitType,GDALGetRasterXSize,GDALGetRasterYSize,GDALGridCreate,GDALHasArbitraryOverviews
	stubs GDALIdentifyDriver,GDALInfo,GDALInfoOptionsFree,GDALInfoOptionsNew,GDALInvGeoTransform,GDALOpen
	stubs GDALOpenEx,GDALOpenShared,GDALPolygonize,GDALRATCreateColumn,GDALRATGetColOfUsage,GDALRATGetColumnCount
	stubs GDALRATGetLinearBinning,GDALRATGetNameOfCol,GDALRATGetRowCount,GDALRATGetRowOfValue,GDALRATGetTypeOfCol
	stubs GDALRATGetUsageOfCol,GDALRATGetValueAsDouble,GDALRATGetValueAsInt,GDALRATGetValueAsString
	stubs GDALRATInitializeFromColorTable,GDALRATSetLinearBinning,GDALRATSetRowCount,GDALRATSetValueAsDouble
	stubs GDALRATSetValueAsInt,GDALRATSetValueAsString,GDALRATTranslateToColorTable,GDALRasterAdviseRead
	stubs GDALRasterBandCopyWholeRaster,GDALRasterIO,GDALRasterize,GDALRasterizeOptionsFree,GDALRasterizeOptionsNew
	stubs GDALReadBlock,GDALReferenceDataset,GDALRegenerateOverviews,GDALRegisterDriver,GDALRenameDataset
	stubs GDALReprojectImage,GDALScaledProgress,GDALSetCacheMax64,GDALSetColorEntry,GDALSetDefaultRAT
	stubs GDALSetDescription,GDALSetGeoTransform,GDALSetMetadataItem,GDALSetProjection,GDALSetRasterCategoryNames
	stubs GDALSetRasterColorInterpretation,GDALSetRasterColorTable,GDALSetRasterNoDataValue,GDALSetRasterOffset
	stubs GDALSetRasterScale,GDALSetRasterStatistics,GDALSetRasterUnitType,GDALSieveFilter,GDALTermProgress
	stubs GDALTranslate,GDALTranslateOptionsFree,GDALTranslateOptionsNew,GDALVectorTranslate
	stubs GDALVectorTranslateOptionsFree,GDALVectorTranslateOptionsNew,GDALWarp,GDALWarpAppOptionsFree
	stubs GDALWarpAppOptionsNew,GDALWriteBlock,OCTDestroyCoordinateTransformation,OCTNewCoordinateTransformation
	stubs OCTTransform,OGRBuildPolygonFromEdges,OGRCleanupAll,OGRDeregisterDriver,OGRGetDriver,OGRGetDriverByName
	stubs OGRGetDriverCount,OGRGetOpenDS,OGRGetOpenDSCount,OGROpen,OGROpenShared,OGRRegisterDriver
	stubs OGRReleaseDataSource,OGR_DS_CopyLayer,OGR_DS_CreateLayer,OGR_DS_DeleteLayer,OGR_DS_Destroy
	stubs OGR_DS_ExecuteSQL,OGR_DS_GetDriver,OGR_DS_GetLayer,OGR_DS_GetLayerByName,OGR_DS_GetLayerCount
	stubs OGR_DS_GetName,OGR_DS_ReleaseResultSet,OGR_DS_SyncToDisk,OGR_DS_TestCapability,OGR_Dr_CopyDataSource
	stubs OGR_Dr_CreateDataSource,OGR_Dr_DeleteDataSource,OGR_Dr_GetName,OGR_Dr_Open,OGR_Dr_TestCapability
	stubs OGR_FD_AddFieldDefn,OGR_FD_Create,OGR_FD_DeleteFieldDefn,OGR_FD_Dereference,OGR_FD_Destroy
	stubs OGR_FD_GetFieldCount,OGR_FD_GetFieldDefn,OGR_FD_GetFieldIndex,OGR_FD_GetGeomType,OGR_FD_GetName
	stubs OGR_FD_GetReferenceCount,OGR_FD_IsGeometryIgnored,OGR_FD_IsStyleIgnored,OGR_FD_Reference,OGR_FD_Release
	stubs OGR_FD_SetGeomType,OGR_FD_SetGeometryIgnored,OGR_FD_SetStyleIgnored,OGR_F_Clone,OGR_F_Create
	stubs OGR_F_Destroy,OGR_F_Equal,OGR_F_GetDefnRef,OGR_F_GetFID,OGR_F_GetFieldAsBinary,OGR_F_GetFieldAsDateTime
	stubs OGR_F_GetFieldAsDouble,OGR_F_GetFieldAsDoubleList,OGR_F_GetFieldAsInteger,OGR_F_GetFieldAsInteger64
	stubs OGR_F_GetFieldAsInteger64List,OGR_F_GetFieldAsIntegerList,OGR_F_GetFieldAsString
	stubs OGR_F_GetFieldAsStringList,OGR_F_GetFieldCount,OGR_F_GetFieldDefnRef,OGR_F_GetFieldIndex
	stubs OGR_F_GetGeometryRef,OGR_F_GetRawFieldRef,OGR_F_GetStyleString,OGR_F_IsFieldSet
	stubs OGR_F_IsFieldSetAndNotNull,OGR_F_SetFID,OGR_F_SetFieldBinary,OGR_F_SetFieldDateTime,OGR_F_SetFieldDouble
	stubs OGR_F_SetFieldDoubleList,OGR_F_SetFieldInteger,OGR_F_SetFieldInteger64,OGR_F_SetFieldIntegerList
	stubs OGR_F_SetFieldRaw,OGR_F_SetFieldString,OGR_F_SetFieldStringList,OGR_F_SetFrom,OGR_F_SetFromWithMap
	stubs OGR_F_SetGeometry,OGR_F_SetGeometryDirectly,OGR_F_SetStyleStringDirectly,OGR_F_StealGeometry
	stubs OGR_F_UnsetField,OGR_Fld_Create,OGR_Fld_Destroy,OGR_Fld_GetAlternativeNameRef,OGR_Fld_GetJustify
	stubs OGR_Fld_GetNameRef,OGR_Fld_GetPrecision,OGR_Fld_GetType,OGR_Fld_GetWidth,OGR_Fld_IsIgnored,OGR_Fld_Set
	stubs OGR_Fld_SetAlternativeName,OGR_Fld_SetIgnored,OGR_Fld_SetJustify,OGR_Fld_SetName,OGR_Fld_SetPrecision
	stubs OGR_Fld_SetType,OGR_Fld_SetWidth,OGR_GFld_Create,OGR_GFld_Destroy,OGR_GFld_SetSpatialRef
	stubs OGR_G_AddGeometry,OGR_G_AddGeometryDirectly,OGR_G_AddPoint,OGR_G_AddPoint_2D,OGR_G_ApproximateArcAngles
	stubs OGR_G_Area,OGR_G_AssignSpatialReference,OGR_G_Boundary,OGR_G_Buffer,OGR_G_Centroid,OGR_G_Clone
	stubs OGR_G_CloseRings,OGR_G_Contains,OGR_G_ConvexHull,OGR_G_CreateFromGML,OGR_G_CreateFromWkb
	stubs OGR_G_CreateFromWkt,OGR_G_CreateGeometry,OGR_G_CreateGeometryFromJson,OGR_G_Crosses,OGR_G_DestroyGeometry
	stubs OGR_G_Difference,OGR_G_Disjoint,OGR_G_Distance,OGR_G_Distance3D,OGR_G_Empty,OGR_G_Equals
	stubs OGR_G_ExportToGML,OGR_G_ExportToGMLEx,OGR_G_ExportToJson,OGR_G_ExportToJsonEx,OGR_G_ExportToKML
	stubs OGR_G_ExportToWkb,OGR_G_ExportToWkt,OGR_G_FlattenTo2D,OGR_G_ForceToMultiLineString
	stubs OGR_G_ForceToMultiPoint,OGR_G_ForceToMultiPolygon,OGR_G_ForceToPolygon,OGR_G_GetCoordinateDimension
	stubs OGR_G_GetDimension,OGR_G_GetEnvelope,OGR_G_GetEnvelope3D,OGR_G_GetGeometryCount,OGR_G_GetGeometryName
	stubs OGR_G_GetGeometryRef,OGR_G_GetGeometryType,OGR_G_GetPoint,OGR_G_GetPointCount,OGR_G_GetSpatialReference
	stubs OGR_G_GetX,OGR_G_GetY,OGR_G_GetZ,OGR_G_ImportFromWkb,OGR_G_ImportFromWkt,OGR_G_Intersection
	stubs OGR_G_Intersects,OGR_G_IsEmpty,OGR_G_IsRing,OGR_G_IsSimple,OGR_G_IsValid,OGR_G_Length,OGR_G_Overlaps
	stubs OGR_G_Polygonize,OGR_G_RemoveGeometry,OGR_G_Segmentize,OGR_G_SetCoordinateDimension,OGR_G_SetPoint
	stubs OGR_G_SetPoint_2D,OGR_G_Simplify,OGR_G_SimplifyPreserveTopology,OGR_G_SymDifference,OGR_G_Touches
	stubs OGR_G_Transform,OGR_G_TransformTo,OGR_G_Union,OGR_G_UnionCascaded,OGR_G_Within,OGR_G_WkbSize
	stubs OGR_GetFieldTypeName,OGR_L_AlterFieldDefn,OGR_L_CommitTransaction,OGR_L_CreateFeature,OGR_L_CreateField
	stubs OGR_L_CreateGeomField,OGR_L_DeleteFeature,OGR_L_DeleteField,OGR_L_GetExtent,OGR_L_GetFIDColumn
	stubs OGR_L_GetFeature,OGR_L_GetFeatureCount,OGR_L_GetGeomType,OGR_L_GetGeometryColumn,OGR_L_GetLayerDefn
	stubs OGR_L_GetName,OGR_L_GetNextFeature,OGR_L_GetSpatialFilter,OGR_L_GetSpatialRef,OGR_L_ReorderField
	stubs OGR_L_ReorderFields,OGR_L_ResetReading,OGR_L_RollbackTransaction,OGR_L_SetAttributeFilter
	stubs OGR_L_SetFeature,OGR_L_SetIgnoredFields,OGR_L_SetNextByIndex,OGR_L_SetSpatialFilter
	stubs OGR_L_SetSpatialFilterRect,OGR_L_StartTransaction,OGR_L_SyncToDisk,OGR_L_TestCapability
	stubs OSRAutoIdentifyEPSG,OSRCleanup,OSRClone,OSRCloneGeogCS,OSRCopyGeogCSFrom,OSRDemoteTo2D,OSRDereference
	stubs OSRDestroySpatialReference,OSREPSGTreatsAsLatLong,OSRExportToMICoordSys,OSRExportToPCI
	stubs OSRExportToPrettyWkt,OSRExportToProj4,OSRExportToUSGS,OSRExportToWkt,OSRExportToWktEx,OSRExportToXML
	stubs OSRGetAngularUnits,OSRGetAttrValue,OSRGetAuthorityCode,OSRGetAuthorityName,OSRGetInvFlattening
	stubs OSRGetLinearUnits,OSRGetName,OSRGetPrimeMeridian,OSRGetProjParm,OSRGetSemiMajor,OSRGetSemiMinor
	stubs OSRGetTOWGS84,OSRGetTargetLinearUnits,OSRGetUTMZone,OSRImportFromEPSG,OSRImportFromEPSGA,OSRImportFromERM
	stubs OSRImportFromPCI,OSRImportFromProj4,OSRImportFromUSGS,OSRImportFromWkt,OSRImportFromXML,OSRIsCompound
	stubs OSRIsGeocentric,OSRIsGeographic,OSRIsLocal,OSRIsProjected,OSRIsSame,OSRIsSameGeogCS,OSRIsSameVertCS
	stubs OSRIsVertical,OSRMorphFromESRI,OSRMorphToESRI,OSRNewSpatialReference,OSRReference,OSRRelease,OSRSetACEA
	stubs OSRSetAE,OSRSetAngularUnits,OSRSetAttrValue,OSRSetAuthority,OSRSetAxisMappingStrategy,OSRSetBonne
	stubs OSRSetCEA,OSRSetCS,OSRSetCompoundCS,OSRSetEC,OSRSetEckert,OSRSetEquirectangular,OSRSetEquirectangular2
	stubs OSRSetFromUserInput,OSRSetGEOS,OSRSetGH,OSRSetGS,OSRSetGaussSchreiberTMercator,OSRSetGeocCS,OSRSetGeogCS
	stubs OSRSetGnomonic,OSRSetHOM,OSRSetHOM2PNO,OSRSetIGH,OSRSetIWMPolyconic,OSRSetKrovak,OSRSetLAEA,OSRSetLCC
	stubs OSRSetLCC1SP,OSRSetLCCB,OSRSetLinearUnits,OSRSetLinearUnitsAndUpdateParameters,OSRSetLocalCS,OSRSetMC
	stubs OSRSetMercator,OSRSetMollweide,OSRSetNZMG,OSRSetNormProjParm,OSRSetOS,OSRSetOrthographic
	stubs OSRSetPROJEnableNetwork,OSRSetPS,OSRSetPolyconic,OSRSetProjCS,OSRSetProjParm,OSRSetProjection
	stubs OSRSetRobinson,OSRSetSOC,OSRSetSinusoidal,OSRSetStatePlane,OSRSetStatePlaneWithUnits,OSRSetStereographic
	stubs OSRSetTM,OSRSetTMG,OSRSetTMSO,OSRSetTMVariant,OSRSetTOWGS84,OSRSetTargetLinearUnits,OSRSetUTM,OSRSetVDG
	stubs OSRSetVertCS,OSRSetWellKnownGeogCS,OSRStripVertical,OSRValidate,VSIFCloseL,VSIFOpenL,VSIFReadL,VSIFree
	stubs VSIGetMemFileBuffer,VSIReadDirRecursive,VSIUnlink

	.section .rodata.polereach_names, "a"
	.byte 0
	.section .note.GNU-stack, "", @progbits
